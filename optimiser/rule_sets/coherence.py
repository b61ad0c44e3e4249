"""What does not hold together in a rule set whose every value is sound by itself."""

from collections.abc import Iterable, Iterator, Mapping

from optimiser.domain.faults import Fault
from optimiser.domain.opening import OPTIONS, Edge, OpeningKind
from optimiser.rule_sets.rule_set import CountedPer, LengthTerm, Rule, RuleSet
from optimiser.units.lengths import LengthUnit, format_length

DOORS = frozenset({OpeningKind.SINGLE_DOOR, OpeningKind.PAIR_OF_DOORS, OpeningKind.DUTCH_DOOR})
"""The kinds that are doors."""

_PLAIN_JAMBS = frozenset({Edge.HEAD, Edge.JAMB, Edge.SILL})
_HUNG_AT_A_SIDE = frozenset({Edge.HEAD, Edge.HINGE_JAMB, Edge.STRIKE_JAMB, Edge.SILL})

EDGES_OF: dict[OpeningKind, frozenset[Edge]] = {
    OpeningKind.SINGLE_DOOR: _HUNG_AT_A_SIDE,
    OpeningKind.PAIR_OF_DOORS: frozenset(
        {Edge.HEAD, Edge.HINGE_JAMB, Edge.SILL, Edge.MEETING_STILES}
    ),
    OpeningKind.DUTCH_DOOR: _HUNG_AT_A_SIDE | {Edge.MEETING_RAIL},
    OpeningKind.CASEMENT_WINDOW: _HUNG_AT_A_SIDE,
    OpeningKind.HOPPER_WINDOW: _PLAIN_JAMBS,
    OpeningKind.AWNING_WINDOW: _PLAIN_JAMBS,
    OpeningKind.DOUBLE_HUNG_WINDOW: _PLAIN_JAMBS | {Edge.MEETING_RAIL},
    OpeningKind.FIXED_WINDOW: _PLAIN_JAMBS,
}
"""The edges that an opening of each kind has."""

_SASHES = frozenset({OpeningKind.DOUBLE_HUNG_WINDOW})
_LEAVES = frozenset(OpeningKind) - _SASHES - {OpeningKind.FIXED_WINDOW}
_DUTCH = frozenset({OpeningKind.DUTCH_DOOR})

_KINDS_OF_TERM: dict[LengthTerm, frozenset[OpeningKind]] = {
    LengthTerm.LEAF_WIDTH: _LEAVES,
    LengthTerm.LEAF_HEIGHT: _LEAVES,
    LengthTerm.UPPER_LEAF_HEIGHT: _DUTCH,
    LengthTerm.LOWER_LEAF_HEIGHT: _DUTCH,
    LengthTerm.SASH_WIDTH: _SASHES,
    LengthTerm.UPPER_SASH_HEIGHT: _SASHES,
    LengthTerm.LOWER_SASH_HEIGHT: _SASHES,
}
_KINDS_OF_COUNT = {CountedPer.LEAF: _LEAVES, CountedPer.SASH: _SASHES}
_KINDS_OF_OPTION: dict[str, frozenset[OpeningKind]] = {
    "meeting_stiles": frozenset({OpeningKind.PAIR_OF_DOORS}),
    "threshold": DOORS,
    "sash_cords": _SASHES,
    "side_strips": _SASHES,
}
assert set(_KINDS_OF_OPTION) == set(OPTIONS)


Path = tuple[str | int, ...]


_READ_ALL_THE_SAME = frozenset(("repeated", "unknown-key", "not-an-id"))
"""Codes of faults that leave the value as it was stated."""


def find_told_incoherences(rule_set: RuleSet, told: Iterable[Fault]) -> Iterator[Fault]:
    """Yield the incoherences of a rule set in which some values could not be read.

    `told` are the faults of those values, for which stand-ins are seen here: what may come of
    a stand-in is left out.
    """
    wrong = tuple(fault.path for fault in told if fault.code not in _READ_ALL_THE_SAME)
    # An entry that is no table was passed over, so the positions of the others are not known.
    if any(path[:1] in {("rules",), ("settings",)} and len(path) <= 2 for path in wrong):
        return
    inside_rules = {path[2] for path in wrong if path[:1] == ("rules",)}
    inside_settings = {path[2] for path in wrong if path[:1] == ("settings",)}
    for fault in find_incoherences(rule_set):
        path = fault.path
        rests_on = {path[:3], (*path[:2], "kinds"), (*path[:2], "when"), (*path[:2], "id")}
        if any(place[:3] in rests_on for place in wrong):
            continue
        if fault.code == "unknown-setting" and "id" in inside_settings:
            continue
        if fault.code == "length-not-positive" and inside_settings & {"id", "length"}:
            continue
        if fault.code == "unused-setting" and inside_rules & {"length", "spacing", "end_distance"}:
            continue
        yield fault


def find_incoherences(rule_set: RuleSet) -> Iterator[Fault]:
    """Yield every fault that only shows where two values are seen together."""
    lengths_nm = {setting.id: setting.length_nm for setting in rule_set.settings}
    known = lengths_nm.keys()
    used: set[str] = set()
    for position, rule in enumerate(rule_set.rules):
        path = ("rules", position)
        yield from _kind_faults(path, rule)
        named = [("length", name) for name in rule.length.settings]
        named += [
            (key, name)
            for key, name in (("spacing", rule.spacing), ("end_distance", rule.end_distance))
            if name is not None
        ]
        for key, name in named:
            used.add(name)
            if name not in known:
                yield Fault(
                    (*path, key),
                    "unknown-setting",
                    f"{key} names the setting {name}, which is not in settings; state it there, "
                    f"or name one of: {', '.join(sorted(known)) or 'none are stated'}",
                )
        if rule.length.of is None and not rule.length.plus:
            yield Fault(
                (*path, "length"),
                "no-length",
                "length has neither a size to start from nor a setting to add; state of or plus",
            )
        elif rule.length.of is None and set(rule.length.settings) <= lengths_nm.keys():
            yield from _sum_faults(path, rule, lengths_nm)
    for position, setting in enumerate(rule_set.settings):
        if setting.id not in used:
            yield Fault(
                ("settings", position),
                "unused-setting",
                f"no rule names the setting {setting.id}; remove it, or name it in a rule",
            )
        elif not setting.length_nm and any(rule.spacing == setting.id for rule in rule_set.rules):
            yield Fault(
                ("settings", position, "length"),
                "spacing-not-positive",
                f"{setting.id} is 0 and a rule names it as its spacing; give more than 0",
            )


def _sum_faults(path: Path, rule: Rule, lengths_nm: Mapping[str, int]) -> Iterator[Fault]:
    """Yield that a length made of settings alone comes to nothing, or less."""
    more_nm = sum(times * lengths_nm[name] for name, times in rule.length.plus)
    less_nm = sum(times * lengths_nm[name] for name, times in rule.length.less)
    if more_nm <= less_nm:
        yield Fault(
            (*path, "length"),
            "length-not-positive",
            f"length comes to {format_length(more_nm - less_nm, LengthUnit.INCH)}: its settings "
            f"add {format_length(more_nm, LengthUnit.INCH)} and take off "
            f"{format_length(less_nm, LengthUnit.INCH)}; add more, or take off less",
        )


def _kind_faults(path: Path, rule: Rule) -> Iterator[Fault]:
    """Yield what a rule says of an opening whose kind does not have it."""
    said: list[tuple[str, str, frozenset[OpeningKind]]] = [
        ("edge", rule.edge, frozenset(kind for kind in OpeningKind if rule.edge in EDGES_OF[kind]))
    ]
    if rule.length.of in _KINDS_OF_TERM:
        said.append(("length", rule.length.of, _KINDS_OF_TERM[rule.length.of]))
        pair = OpeningKind.PAIR_OF_DOORS in rule.kinds
        if rule.length.of is LengthTerm.LEAF_WIDTH and pair and rule.per is not CountedPer.LEAF:
            yield Fault(
                (*path, "per"),
                "leaf-width-not-per-leaf",
                f"per is {rule.per} and length starts from leaf-width, but the leaves of a "
                "pair-of-doors may differ in width; set per to leaf, or give the kind a rule of "
                "its own",
            )
    if rule.per in _KINDS_OF_COUNT:
        said.append(("per", rule.per, _KINDS_OF_COUNT[rule.per]))
    said += [("when", name, _KINDS_OF_OPTION[name]) for name, _ in rule.when.options]
    for key, value, kinds in said:
        wrong = [kind for kind in rule.kinds if kind not in kinds]
        if wrong:
            having = ", ".join(kind for kind in OpeningKind if kind in kinds)
            yield Fault(
                (*path, key),
                "not-of-the-kind",
                f"{key} is {value}, which a {wrong[0]} does not have; only these have it: {having}",
            )
