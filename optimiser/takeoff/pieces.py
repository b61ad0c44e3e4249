"""Apply rule sets to one opening: its pieces, and the record of every rule that fired."""

from collections.abc import Mapping
from dataclasses import dataclass

from optimiser.domain.catalogue import Material
from optimiser.domain.opening import OPTIONS, Leaf, Opening
from optimiser.domain.order import Policy
from optimiser.domain.reasons import RuleFired
from optimiser.domain.takeoff import Piece
from optimiser.rule_sets.rule_set import LengthTerm, Rule, RuleSet, SpacingSetBy
from optimiser.takeoff.sizes import Inputs, measure, measure_leaf
from optimiser.units.lengths import divide_up


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenRule:
    """A rule that holds for an opening, with the rule set that it is of."""

    rule_set: RuleSet
    rule: Rule


def what_chooses_rules(opening: Opening) -> tuple[object, ...]:
    """Return all that `rules_that_fire` depends on, as a key."""
    return (
        opening.rule_sets,
        opening.kind,
        *(opening.option(name) for name in OPTIONS),
        opening.edges,
    )


def rules_that_fire(rule_set: RuleSet, opening: Opening) -> tuple[Rule, ...]:
    """Return the rules that hold for the opening's kind, options and edges, in their order."""
    return tuple(
        rule
        for rule in rule_set.rules
        if rule.holds_for(opening) and (opening.edges is None or rule.edge in opening.edges)
    )


def choose_rules(opening: Opening, rule_sets: Mapping[str, RuleSet]) -> tuple[ChosenRule, ...]:
    """Return the rules that fire for an opening, by the rule sets that it names."""
    return tuple(
        ChosenRule(rule_set=rule_sets[name], rule=rule)
        for name in opening.rule_sets
        for rule in rules_that_fire(rule_sets[name], opening)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceLength:
    """How long pieces of a rule are in an opening, how many, and how that is worked out.

    `leaf` is the one that they are for where the leaves of a pair differ in width.
    The sum of the inputs is divided and rounded up; then the adjustments are added, each a
    setting of the rule set or what the policy states for it.
    """

    inputs: Inputs
    divided_by: int
    adjusted: Inputs
    length_nm: int
    count: int
    leaf: Leaf | None = None


def lengths_of(chosen: ChosenRule, opening: Opening, policy: Policy) -> tuple[PieceLength, ...]:
    """Return the lengths of the pieces that a rule gives an opening.

    There is one, or one for each leaf where a rule takes its length from leaves that differ.
    """
    rule, gaps = chosen.rule, policy.clearances
    if rule.length.of is LengthTerm.LEAF_WIDTH and opening.unequal_leaves:
        return tuple(
            _settle(chosen, measure_leaf(leaf, opening, gaps), policy, rule.pieces, leaf)
            for leaf in opening.unequal_leaves
        )
    measured = ((), 1) if rule.length.of is None else measure(rule.length.of, opening, gaps)
    return (_settle(chosen, measured, policy, rule.count_for(opening)),)


def _settle(
    chosen: ChosenRule,
    measured: tuple[Inputs, int],
    policy: Policy,
    count: int,
    leaf: Leaf | None = None,
) -> PieceLength:
    formula = chosen.rule.length
    inputs, divided_by = measured
    adjusted = tuple(
        (
            name.replace("-", " ") if times == 1 else f"{times} × {name.replace('-', ' ')}",
            sign * times * setting_nm(chosen.rule_set, name, policy),
        )
        for sign, terms in ((1, formula.plus), (-1, formula.less))
        for name, times in terms
    )
    length_nm = divide_up(sum(nm for _, nm in inputs), divided_by)
    length_nm += sum(nm for _, nm in adjusted)
    return PieceLength(
        inputs=inputs,
        divided_by=divided_by,
        adjusted=tuple((name, nm) for name, nm in adjusted if nm),
        length_nm=length_nm,
        count=count,
        leaf=leaf,
    )


def setting_nm(rule_set: RuleSet, name: str, policy: Policy) -> int:
    """Return a setting of a rule set: what the policy states for it, else the set's own."""
    stated = dict(policy.rule_settings).get(f"{rule_set.id}.{name}")
    if stated is not None:
        return stated
    return next(setting.length_nm for setting in rule_set.settings if setting.id == name)


def apply_rule(
    chosen: ChosenRule, opening: Opening, policy: Policy
) -> tuple[tuple[Piece, RuleFired], ...]:
    """Return the pieces that a rule gives one opening, each with its firing without marks.

    Lengths are net, in nanometres, before kerf; one that is divided is rounded up. Where the
    leaves differ there are pieces for each, and the run is counted with the active one's.
    """
    lengths = lengths_of(chosen, opening, policy)
    return tuple(_apply(chosen, opening, policy, length) for length in lengths)


def _apply(
    chosen: ChosenRule, opening: Opening, policy: Policy, length: PieceLength
) -> tuple[Piece, RuleFired]:
    rule, rule_set = chosen.rule, chosen.rule_set
    spacing_nm, by_rule = _spacing(chosen, opening, policy)
    piece = Piece(
        edge=rule.edge,
        member=rule.member if length.leaf is None else f"{rule.member}, {length.leaf} leaf",
        lies_on=rule.lies_on,
        material=Material(rule.product, opening.finish_of(rule.product)),
        length_nm=length.length_nm,
        count=length.count,
        runs=0 if length.leaf is Leaf.INACTIVE else rule.runs,
        fastener=rule.fastener,
        rule_id=rule.id,
        rule_set=rule_set.id,
        spacing_nm=spacing_nm,
        end_distance_nm=policy.end_distance_nm
        if rule.end_distance is None
        else setting_nm(rule_set, rule.end_distance, policy),
        least_fasteners=rule.least_fasteners,
        spacing_by_rule=by_rule,
    )
    firing = RuleFired(
        rule_id=rule.id,
        statement=rule.statement,
        source=rule.source,
        inputs_nm=length.inputs,
        divided_by=length.divided_by,
        adjusted_nm=length.adjusted,
        length_nm=length.length_nm,
        count=length.count,
    )
    return piece, firing


def _spacing(chosen: ChosenRule, opening: Opening, policy: Policy) -> tuple[int, bool]:
    """Return a piece's spacing, and whether it is the rule set's own.

    A spacing that the rule names is its own. Else that of the opening goes first, then that of
    the policy where the rule set leaves its spacing to the installer, then the rule set's.
    """
    rule_set = chosen.rule_set
    if chosen.rule.spacing is not None:
        return setting_nm(rule_set, chosen.rule.spacing, policy), True
    if opening.fastener_spacing_nm is not None:
        return opening.fastener_spacing_nm, False
    if rule_set.spacing.set_by is SpacingSetBy.INSTALLER and policy.fastener_spacing_nm is not None:
        return policy.fastener_spacing_nm, False
    return rule_set.spacing.length_nm, True
