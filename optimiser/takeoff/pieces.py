"""Apply a rule set to one opening: its pieces, and the record of every rule that fired."""

from collections.abc import Callable

from optimiser.domain.catalogue import Material
from optimiser.domain.opening import Opening, OpeningKind, SizeOf
from optimiser.domain.reasons import RuleFired
from optimiser.domain.takeoff import Piece
from optimiser.rule_sets.rule_set import LengthTerm, Rule, RuleSet
from optimiser.units.lengths import divide_up

Inputs = tuple[tuple[str, int], ...]
"""What a length is summed from: names with lengths in nanometres."""


def what_chooses_rules(opening: Opening) -> tuple[object, ...]:
    """Return all that `rules_that_fire` depends on, as a key."""
    return (
        opening.rule_set,
        opening.kind,
        opening.meeting_stiles,
        opening.threshold,
        opening.edges,
    )


def rules_that_fire(rule_set: RuleSet, opening: Opening) -> tuple[Rule, ...]:
    """Return the rules that hold for the opening's kind, options and edges, in their order."""
    return tuple(
        rule
        for rule in rule_set.rules
        if opening.kind in rule.kinds
        and rule.when.holds_for(opening)
        and (opening.edges is None or rule.edge in opening.edges)
    )


def apply_rule(rule: Rule, opening: Opening) -> tuple[Piece, RuleFired]:
    """Return the pieces that a rule gives one opening, and its firing without marks.

    Lengths are net, in nanometres, before kerf; one that is divided is rounded up.
    """
    inputs, divided_by = _TERMS[rule.length](opening)
    length_nm = divide_up(sum(input_nm for _, input_nm in inputs), divided_by)
    count = rule.count_for(opening)
    piece = Piece(
        edge=rule.edge,
        member=rule.member,
        lies_on=rule.lies_on,
        material=Material(rule.product, opening.finish),
        length_nm=length_nm,
        count=count,
        runs=rule.runs,
        fastener=rule.fastener,
        rule_id=rule.id,
    )
    firing = RuleFired(
        rule_id=rule.id,
        statement=rule.statement,
        source=rule.source,
        inputs_nm=inputs,
        divided_by=divided_by,
        length_nm=length_nm,
        count=count,
    )
    return piece, firing


def _opening_width(opening: Opening) -> tuple[Inputs, int]:
    if opening.size_of is SizeOf.OPENING:
        return (("opening width", opening.width_nm),), 1
    if opening.kind is OpeningKind.PAIR_OF_DOORS:
        return (
            ("active leaf width", opening.width_nm),
            ("inactive leaf width", opening.width_nm),
        ), 1
    return (("leaf width", opening.width_nm),), 1


def _leaf_width(opening: Opening) -> tuple[Inputs, int]:
    if opening.size_of is SizeOf.OPENING:
        return (("opening width", opening.width_nm),), opening.leaves
    return (("leaf width", opening.width_nm),), 1


def _height(opening: Opening) -> tuple[Inputs, int]:
    """Return the stated height: leaf and opening are taken as the same size."""
    return ((f"{opening.size_of} height", opening.height_nm),), 1


_TERMS: dict[LengthTerm, Callable[[Opening], tuple[Inputs, int]]] = {
    LengthTerm.OPENING_WIDTH: _opening_width,
    LengthTerm.OPENING_HEIGHT: _height,
    LengthTerm.LEAF_WIDTH: _leaf_width,
    LengthTerm.LEAF_HEIGHT: _height,
}
