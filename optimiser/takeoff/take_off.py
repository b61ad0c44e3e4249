"""Take off an order: openings in, pieces and fasteners out, every rule firing recorded."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from optimiser.domain.clearances import Clearances
from optimiser.domain.faults import Fault, InvalidOrder
from optimiser.domain.notices import SizeReadWithCare, SizeTakenForBoth
from optimiser.domain.opening import Edge, MeetingStiles, Opening, OpeningKind, SizeOf
from optimiser.domain.order import Order, Policy
from optimiser.domain.reasons import (
    AstragalByOthers,
    MeetingRailByOthers,
    MeetingStilesByOthers,
    Notice,
    RuleFired,
)
from optimiser.domain.takeoff import Demand, FastenerCount, OpeningTakeoff, Piece, PieceSet, Takeoff
from optimiser.rule_sets import RuleSet, find_clashes, identifiers_of, known_rule_sets
from optimiser.rule_sets.rule_set import NoticeCode
from optimiser.takeoff.fasteners import count_fasteners, sum_needs
from optimiser.takeoff.faults import find_order_faults
from optimiser.takeoff.piece_sets import gather_piece_sets, group_sets
from optimiser.takeoff.pieces import ChosenRule, apply_rule, choose_rules, what_chooses_rules
from optimiser.takeoff.sizes import OF_THE_LEAF
from optimiser.units.natural_order import natural_key


def take_off(
    order: Order, *, rule_sets: Iterable[RuleSet] = (), most_lengths: int | None = None
) -> Takeoff:
    """Return the pieces and fasteners that the order's openings need; nothing is bought.

    `rule_sets` are the user's own beside those of the package. `most_lengths` is how many
    distinct lengths the pieces may have over all materials; `None` leaves it open. Openings
    come in the natural order of their marks (D-2 before D-10), demand in an order of its own:
    the order of the input changes nothing.

    Raises:
        InvalidOrder: openings or the policy's counting are wrong, or the identifiers of rule
            sets clash; every fault is named.
    """
    own = tuple(rule_sets)
    known = {rule_set.id: rule_set for rule_set in (*known_rule_sets(), *own)}
    faults = (
        *_find_rule_set_faults(own),
        *find_order_faults(order, known, most_lengths=most_lengths),
    )
    if faults:
        raise InvalidOrder(faults)
    in_order = sorted(order.openings, key=lambda opening: natural_key(opening.mark))
    rules: dict[tuple[object, ...], tuple[ChosenRule, ...]] = {}
    shared: dict[tuple[object, ...], _Share] = {}
    marks: dict[tuple[object, ...], list[str]] = defaultdict(list)
    openings = []
    for opening in in_order:
        choices = what_chooses_rules(opening)
        key = (*choices, *_what_sizes_pieces(opening))
        if key not in shared:
            if choices not in rules:
                rules[choices] = choose_rules(opening, known)
            named = [known[name] for name in opening.rule_sets]
            shared[key] = _take_off_opening(opening, named, rules[choices], order.policy)
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
        firings=_gather_firings(shares, rank, known),
        notices=_gather_notices(shares, rank),
    )


def _find_rule_set_faults(own: tuple[RuleSet, ...]) -> Iterator[Fault]:
    clashes = find_clashes((identifiers_of(rule_set) for rule_set in own), known_rule_sets())
    for clash in clashes:
        position = clash.path[0]
        assert isinstance(position, int)
        message = f"Rule set {own[position].id}: {clash.message}."
        yield Fault(("rule_sets", *clash.path), clash.code, message)


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
        opening.lower_height_nm,
        opening.inactive_leaf_width_nm,
        opening.finish,
        opening.finishes,
        opening.fastener_spacing_nm,
        opening.notes,
    )


def _take_off_opening(
    opening: Opening, rule_sets: list[RuleSet], rules: tuple[ChosenRule, ...], policy: Policy
) -> _Share:
    applied = [given for chosen in rules for given in apply_rule(chosen, opening, policy)]
    pieces = tuple(piece for piece, _ in applied)
    notices: list[Notice] = [
        SizeReadWithCare(width_nm=opening.width_nm, height_nm=opening.height_nm, remark=remark)
        for remark in opening.notes
    ]
    for notice in (notice for rule_set in rule_sets for notice in rule_set.notices):
        if opening.kind in notice.kinds and notice.when.holds_for(opening):
            match notice.code:
                case NoticeCode.MEETING_STILES_BY_OTHERS:
                    offered = _has_nested_members(rule_sets, opening.kind)
                    notices.append(
                        MeetingStilesByOthers(height_nm=opening.height_nm, offered=offered)
                    )
                case NoticeCode.ASTRAGAL_BY_OTHERS:
                    notices.append(AstragalByOthers(height_nm=opening.height_nm))
                case NoticeCode.MEETING_RAIL_BY_OTHERS:
                    if not any(piece.edge is Edge.MEETING_RAIL for piece in pieces):
                        notices.append(MeetingRailByOthers(width_nm=opening.width_nm))
    if _size_stands_for_another(opening, rules, policy.clearances):
        notices.append(SizeTakenForBoth(size_of=opening.size_of))
    return _Share(
        pieces=pieces,
        fasteners=count_fasteners(pieces, policy),
        piece_sets=gather_piece_sets(pieces, policy.splices),
        firings=tuple(firing for _, firing in applied),
        notices=tuple(dict.fromkeys(notices)),
    )


def _has_nested_members(rule_sets: list[RuleSet], kind: OpeningKind) -> bool:
    return any(
        MeetingStiles.NESTED_MEMBERS in rule.when.values_of("meeting_stiles")
        for rule_set in rule_sets
        for rule in rule_set.rules_for(kind)
    )


def _size_stands_for_another(
    opening: Opening, rules: tuple[ChosenRule, ...], clearances: Clearances
) -> bool:
    """Return whether a size other than the stated one is taken to be the same."""
    if opening.size_of is SizeOf.NOMINAL:
        return not (clearances.nominal_width_nm or clearances.nominal_height_nm)
    gaps = (clearances.jamb_nm, clearances.head_nm, clearances.sill_nm, clearances.meeting_nm)
    stated_leaf = opening.size_of is SizeOf.LEAF
    terms = {chosen.rule.length.of for chosen in rules} - {None}
    return not any(gaps) and any((term in OF_THE_LEAF) is not stated_leaf for term in terms)


def _gather_firings(
    shares: _Shares, rank: dict[str, int], rule_sets: dict[str, RuleSet]
) -> tuple[RuleFired, ...]:
    """Return each distinct firing once with its marks, in the order of the rules."""
    position: dict[str, int] = {}
    for rule_set in rule_sets.values():
        for rule in rule_set.rules:
            position.setdefault(rule.id, len(position))
    marks: dict[RuleFired, list[str]] = defaultdict(list)
    for share, of_share in shares:
        for firing in share.firings:
            marks[firing].extend(of_share)
    in_order = sorted(marks, key=_rank(position))
    return tuple(
        replace(firing, marks=tuple(sorted(marks[firing], key=rank.__getitem__)))
        for firing in in_order
    )


def _rank(position: dict[str, int]) -> Callable[[RuleFired], tuple[object, ...]]:
    return lambda f: (position[f.rule_id], f.length_nm, f.inputs_nm, f.adjusted_nm, f.count)


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
