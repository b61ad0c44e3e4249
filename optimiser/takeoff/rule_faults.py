"""Faults of openings that ask for what their rule sets do not have, or cannot give."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from enum import StrEnum

from optimiser.domain.faults import Fault
from optimiser.domain.opening import OPTIONS, Edge, Opening
from optimiser.domain.phrases import with_article
from optimiser.rule_sets import RuleSet
from optimiser.rule_sets.rule_set import Rule
from optimiser.takeoff.pieces import ChosenRule, PieceLength, choose_rules, rules_that_fire
from optimiser.units.faults import quote
from optimiser.units.lengths import LengthUnit, format_length

Path = tuple[str | int, ...]


def find_rule_faults(
    path: Path, opening: Opening, rule_sets: Mapping[str, RuleSet]
) -> Iterator[Fault]:
    """Yield where the opening asks for what its rule sets do not have."""
    unknown_or_unfit = tuple(_set_faults(path, opening, rule_sets))
    if unknown_or_unfit:
        yield from unknown_or_unfit
        return
    named = tuple(rule_sets[name] for name in opening.rule_sets)
    yield from _option_faults(path, opening, named, rule_sets)
    if opening.edges is not None:
        yield from _edge_faults(path, opening, opening.edges, named)
    if opening.edges is None or len(named) > 1:
        yield from _idle_faults(path, opening, named)
    if len(named) > 1:
        yield from _clash_faults(path, opening, rule_sets)


def _set_faults(path: Path, opening: Opening, rule_sets: Mapping[str, RuleSet]) -> Iterator[Fault]:
    seen: set[str] = set()
    for position, name in enumerate(opening.rule_sets):
        place: Path = (*path, "rule_set") if position == 0 else (*path, "also", position - 1)
        rule_set = rule_sets.get(name)
        if name in seen:
            yield Fault(
                place,
                "repeated-rule-set",
                f"Opening {opening.mark}: the rule set {quote(name)} is named twice; "
                "name each once.",
            )
        elif rule_set is None:
            yield Fault(
                place,
                "unknown-rule-set",
                f"Opening {opening.mark}: the rule set {quote(name)} is not known; "
                f"give one of: {', '.join(sorted(rule_sets))}.",
            )
        elif opening.kind not in rule_set.kinds:
            yield Fault(
                (*path, "kind") if position == 0 else place,
                "kind-not-served",
                f"Opening {opening.mark}: the rule set {rule_set.id} has no rules for "
                f"{with_article(opening.kind)}; give one of its kinds "
                f"({', '.join(rule_set.kinds)}), or another rule set.",
            )
        seen.add(name)


def _option_faults(
    path: Path, opening: Opening, named: tuple[RuleSet, ...], rule_sets: Mapping[str, RuleSet]
) -> Iterator[Fault]:
    """Yield each option that is asked for and changes nothing: none may be lost in silence."""
    for name, choices in OPTIONS.items():
        value = opening.option(name)
        if value is next(iter(choices)):
            continue
        edges = {rule.edge for rule in _rules(opening, named) if value in rule.when.values_of(name)}
        told = any(
            opening.kind in notice.kinds and value in notice.when.values_of(name)
            for rule_set in named
            for notice in rule_set.notices
        )
        if not edges and not told:
            yield Fault(
                (*path, name),
                "option-does-not-apply",
                f"Opening {opening.mark}: {name} is {value}, which {_name_sets(named)} "
                f"{_do(named)} not have for {with_article(opening.kind)}; "
                f"{_mend_by_another(opening, value, name, rule_sets)}leave {name} out.",
            )
        elif edges and opening.edges is not None and not edges & opening.edges:
            missing = ", ".join(edge for edge in Edge if edge in edges)
            yield Fault(
                (*path, "edges"),
                "option-without-its-edge",
                f"Opening {opening.mark}: {name} is {value}, but edges leaves out {missing}; "
                f"add it to edges, or leave {name} out.",
            )


def _mend_by_another(
    opening: Opening, value: StrEnum, option: str, rule_sets: Mapping[str, RuleSet]
) -> str:
    """Return what another rule set under the mark would mend; nothing where none would.

    One that is for nothing but the option goes with any work, as a threshold does.
    """
    mending = [
        rule_set.id
        for rule_set in rule_sets.values()
        if (rules := rule_set.rules_for(opening.kind))
        and all(rule.when.values_of(option) for rule in rules)
        and any(value in rule.when.values_of(option) for rule in rules)
    ]
    return f"name {' or '.join(mending)} under also, or " if mending else ""


def _edge_faults(
    path: Path, opening: Opening, edges: frozenset[Edge], named: tuple[RuleSet, ...]
) -> Iterator[Fault]:
    """Yield each edge that takes nothing: not of the kind, or only with an option."""
    if not edges:
        yield Fault(
            (*path, "edges"),
            "no-edges",
            f"Opening {opening.mark}: edges is empty; name at least one edge, or leave it out for "
            "every edge.",
        )
    of_kind = {rule.edge for rule in _rules(opening, named)}
    taken = {rule.edge for rule_set in named for rule in rules_that_fire(rule_set, opening)}
    for edge in Edge:
        if edge not in edges or edge in taken:
            continue
        if edge in of_kind:
            of_edge = [rule for rule in _rules(opening, named) if rule.edge is edge]
            option, value = _option_that_gives(opening, of_edge)
            yield Fault(
                (*path, "edges"),
                "edge-without-its-option",
                f"Opening {opening.mark}: the edge {edge} takes nothing unless {option} is "
                f"{value}; set it so, or leave the edge out.",
            )
        else:
            served = ", ".join(edge for edge in Edge if edge in of_kind)
            yield Fault(
                (*path, "edges"),
                "edge-not-served",
                f"Opening {opening.mark}: {_name_sets(named)} {_have(named)} no rules for the "
                f"edge {edge} of {with_article(opening.kind)}; give edges of: {served}.",
            )


def _idle_faults(path: Path, opening: Opening, named: tuple[RuleSet, ...]) -> Iterator[Fault]:
    """Yield each of several rule sets that gives the opening nothing."""
    for position, rule_set in enumerate(named):
        if rules_that_fire(rule_set, opening):
            continue
        rules = rule_set.rules_for(opening.kind)
        if any(rule.holds_for(opening) for rule in rules):
            edges = ", ".join(edge for edge in Edge if edge in {rule.edge for rule in rules})
            mend = f"add one of its edges ({edges})"
        elif all(rule.when.holds_for(opening) for rule in rules):
            mend = "leave out the rule sets that it yields to"
        else:
            option, value = _option_that_gives(opening, rules)
            mend = f"set {option} to {value}"
        yield Fault(
            (*path, "rule_set") if position == 0 else (*path, "also", position - 1),
            "rule-set-gives-nothing",
            f"Opening {opening.mark}: the rule set {rule_set.id} gives nothing here; {mend}, or "
            "leave the rule set out.",
        )


def _clash_faults(
    path: Path, opening: Opening, rule_sets: Mapping[str, RuleSet]
) -> Iterator[Fault]:
    """Yield each product that two rule sets would put in the same place."""
    given: dict[tuple[str, str, str], list[str]] = defaultdict(list)
    for chosen in choose_rules(opening, rule_sets):
        rule = chosen.rule
        sets = given[rule.product, rule.edge, rule.lies_on]
        if chosen.rule_set.id not in sets:
            sets.append(chosen.rule_set.id)
    for (product, edge, lies_on), sets in given.items():
        if len(sets) > 1:
            yield Fault(
                (*path, "also"),
                "rule-sets-clash",
                f"Opening {opening.mark}: the rule sets {' and '.join(sets)} both give "
                f"{product} at the {edge}, on the {lies_on}; leave one of them out.",
            )


def find_length_faults(
    path: Path,
    opening: Opening,
    lengths: Iterable[tuple[ChosenRule, PieceLength]],
    unit: LengthUnit,
) -> Iterator[Fault]:
    """Yield each rule whose pieces would have no length in this opening."""
    for chosen, length in lengths:
        if length.length_nm > 0:
            continue
        settings = ", ".join(f"{chosen.rule_set.id}.{name}" for name in _settings(chosen))
        deducted = [
            f"{name} {format_length(-nm, unit)}"
            for name, nm in (*length.inputs, *length.adjusted)
            if nm < 0
        ]
        mend = f"change {settings} in policy.rule_settings" if settings else "check the clearances"
        yield Fault(
            (*path, "size"),
            "piece-without-length",
            f"Opening {opening.mark}: {chosen.rule.edge}, {chosen.rule.member} would be "
            f"{format_length(length.length_nm, unit)} long, after {' and '.join(deducted)}; give "
            f"a larger size, or {mend}.",
        )


def _settings(chosen: ChosenRule) -> tuple[str, ...]:
    return tuple(dict.fromkeys(chosen.rule.length.settings))


def _rules(opening: Opening, named: tuple[RuleSet, ...]) -> tuple[Rule, ...]:
    """Return the rules of all rule sets for the opening's kind, under any options."""
    return tuple(rule for rule_set in named for rule in rule_set.rules_for(opening.kind))


def _option_that_gives(opening: Opening, rules: Iterable[Rule]) -> tuple[str, str]:
    """Return an option, and its values, under which one of the rules gives pieces."""
    for rule in rules:
        for name, values in rule.when.options:
            if opening.option(name) not in values:
                return name, _either(rules, name, values)
    raise AssertionError("the rules give pieces under every option")


def _either(rules: Iterable[Rule], name: str, values: tuple[StrEnum, ...]) -> str:
    """Return the values of an option under which any of the rules gives pieces."""
    found = {*values, *(value for rule in rules for value in rule.when.values_of(name))}
    return " or ".join(value for value in OPTIONS[name] if value in found)


def _name_sets(named: tuple[RuleSet, ...]) -> str:
    ids = [rule_set.id for rule_set in named]
    return f"the rule set {ids[0]}" if len(ids) == 1 else f"the rule sets {', '.join(ids)}"


def _do(named: tuple[RuleSet, ...]) -> str:
    return "does" if len(named) == 1 else "do"


def _have(named: tuple[RuleSet, ...]) -> str:
    return "has" if len(named) == 1 else "have"
