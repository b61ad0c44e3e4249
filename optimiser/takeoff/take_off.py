"""Take off an order: openings in, pieces and fasteners out, every rule firing recorded."""

from collections import defaultdict
from dataclasses import dataclass, replace

from optimiser.domain.faults import InvalidOrder
from optimiser.domain.notices import SizeTakenForBoth
from optimiser.domain.opening import Opening, SizeOf
from optimiser.domain.order import Order, Policy
from optimiser.domain.reasons import MeetingStilesByOthers, Notice, RuleFired
from optimiser.domain.takeoff import Demand, FastenerCount, OpeningTakeoff, Piece, PieceSet, Takeoff
from optimiser.rule_sets import RuleSet, known_rule_sets
from optimiser.rule_sets.rule_set import LengthTerm, NoticeCode, Rule
from optimiser.takeoff.fasteners import count_fasteners, sum_needs
from optimiser.takeoff.faults import find_order_faults
from optimiser.takeoff.piece_sets import gather_piece_sets, group_sets
from optimiser.takeoff.pieces import apply_rule, rules_that_fire, what_chooses_rules
from optimiser.units.natural_order import natural_key

_OF_THE_LEAF = frozenset({LengthTerm.LEAF_WIDTH, LengthTerm.LEAF_HEIGHT})


def take_off(order: Order) -> Takeoff:
    """Return the pieces and fasteners that the order's openings need; nothing is bought.

    Openings come in the natural order of their marks (D-2 before D-10), demand in an order of
    its own: the order of the input changes nothing.

    Raises:
        InvalidOrder: openings or the policy's counting are wrong; every fault is named.
    """
    rule_sets = {rule_set.id: rule_set for rule_set in known_rule_sets()}
    faults = find_order_faults(order, rule_sets)
    if faults:
        raise InvalidOrder(faults)
    in_order = sorted(order.openings, key=lambda opening: natural_key(opening.mark))
    rules: dict[tuple[object, ...], tuple[Rule, ...]] = {}
    shared: dict[tuple[object, ...], _Share] = {}
    marks: dict[tuple[object, ...], list[str]] = defaultdict(list)
    openings = []
    for opening in in_order:
        choices = what_chooses_rules(opening)
        key = (*choices, *_what_sizes_pieces(opening))
        if key not in shared:
            rule_set = rule_sets[opening.rule_set]
            if choices not in rules:
                rules[choices] = rules_that_fire(rule_set, opening)
            shared[key] = _take_off_opening(opening, rule_set, rules[choices], order.policy)
        marks[key].append(opening.mark)
        share = shared[key]
        takeoff = OpeningTakeoff(opening=opening, pieces=share.pieces, fasteners=share.fasteners)
        openings.append((takeoff, share.piece_sets))
    takeoffs = tuple(takeoff for takeoff, _ in openings)
    shares = [(shared[key], tuple(of_key)) for key, of_key in marks.items()]
    rank = {opening.mark: place for place, opening in enumerate(in_order)}
    return Takeoff(
        openings=takeoffs,
        demand=Demand(sets=group_sets(openings), fasteners=sum_needs(takeoffs, order.policy)),
        firings=_gather_firings(shares, rank, rule_sets),
        notices=_gather_notices(shares, rank),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Share:
    """The takeoff of one opening, shared by all openings that differ in nothing that counts."""

    pieces: tuple[Piece, ...]
    fasteners: tuple[FastenerCount, ...]
    piece_sets: tuple[PieceSet, ...]
    firings: tuple[RuleFired, ...]
    notices: tuple[Notice, ...]


_Shares = list[tuple[_Share, tuple[str, ...]]]
"""Each share with the marks of the openings that share it."""


def _what_sizes_pieces(opening: Opening) -> tuple[object, ...]:
    """Return all that the takeoff of an opening depends on beside the rules and the policy."""
    return (
        opening.width_nm,
        opening.height_nm,
        opening.size_of,
        opening.finish,
        opening.fastener_spacing_nm,
    )


def _take_off_opening(
    opening: Opening, rule_set: RuleSet, rules: tuple[Rule, ...], policy: Policy
) -> _Share:
    applied = [apply_rule(rule, opening) for rule in rules]
    pieces = tuple(piece for piece, _ in applied)
    spacing_nm = (
        opening.fastener_spacing_nm or policy.fastener_spacing_nm or rule_set.spacing.length_nm
    )
    notices: list[Notice] = []
    for notice in rule_set.notices:
        if opening.kind in notice.kinds and notice.when.holds_for(opening):
            match notice.code:
                case NoticeCode.MEETING_STILES_BY_OTHERS:
                    notices.append(MeetingStilesByOthers(height_nm=opening.height_nm))
    stated_leaf = opening.size_of is SizeOf.LEAF
    if any((rule.length in _OF_THE_LEAF) is not stated_leaf for rule in rules):
        notices.append(SizeTakenForBoth(size_of=opening.size_of))
    return _Share(
        pieces=pieces,
        fasteners=count_fasteners(pieces, opening.finish, spacing_nm, policy),
        piece_sets=gather_piece_sets(pieces),
        firings=tuple(firing for _, firing in applied),
        notices=tuple(notices),
    )


def _gather_firings(
    shares: _Shares, rank: dict[str, int], rule_sets: dict[str, RuleSet]
) -> tuple[RuleFired, ...]:
    """Return each distinct firing once with its marks, in the order of the rules."""
    position = {
        rule.id: place
        for place, rule in enumerate(rule for rules in rule_sets.values() for rule in rules.rules)
    }
    marks: dict[RuleFired, list[str]] = defaultdict(list)
    for share, of_share in shares:
        for firing in share.firings:
            marks[firing].extend(of_share)
    in_order = sorted(marks, key=lambda f: (position[f.rule_id], f.length_nm, f.inputs_nm, f.count))
    return tuple(
        replace(firing, marks=tuple(sorted(marks[firing], key=rank.__getitem__)))
        for firing in in_order
    )


def _gather_notices(shares: _Shares, rank: dict[str, int]) -> tuple[Notice, ...]:
    """Return each distinct notice once with its marks, by code and then by the first mark."""
    marks: dict[Notice, list[str]] = defaultdict(list)
    for share, of_share in shares:
        for notice in share.notices:
            marks[notice].extend(of_share)
    notices = [
        replace(notice, marks=tuple(sorted(of_notice, key=rank.__getitem__)))
        for notice, of_notice in marks.items()
    ]
    return tuple(sorted(notices, key=lambda notice: (notice.code, rank[notice.marks[0]])))
