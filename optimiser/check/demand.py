"""Demand adds up to the takeoff, and the fasteners of the takeoff to its pieces."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from fractions import Fraction
from math import ceil

from optimiser.domain.catalogue import Material
from optimiser.domain.order import FastenerCounting, Order
from optimiser.domain.takeoff import FastenerPool, OpeningTakeoff, Takeoff

Lengths = tuple[tuple[int, int], ...]
Nailed = tuple[tuple[str, int], ...]


def check_demand(order: Order, takeoff: Takeoff) -> Iterator[str]:
    """Yield what does not add up between the order's openings, their takeoff and the demand."""
    yield from _check_openings(order, takeoff)
    yield from _check_sets(takeoff)
    yield from _check_counts(order, takeoff)
    yield from _check_needs(order, takeoff)


def _check_openings(order: Order, takeoff: Takeoff) -> Iterator[str]:
    ordered = Counter(opening.mark for opening in order.openings)
    taken = Counter(item.opening.mark for item in takeoff.openings)
    for mark in dict.fromkeys((*ordered, *taken)):
        if taken[mark] != ordered[mark]:
            yield f"Takeoff of {mark}: it stands {taken[mark]} times, expected {ordered[mark]}."
    as_ordered = {opening.mark: opening for opening in order.openings}
    for item in takeoff.openings:
        expected = as_ordered.get(item.opening.mark)
        if expected is not None and item.opening != expected:
            yield f"Takeoff of {item.opening.mark}: its opening is not the one in the order."


def _sets_of(taken: OpeningTakeoff) -> dict[Material, tuple[Lengths, Nailed]]:
    """Return by material the lengths with their counts, longest first, and what is nailed."""
    lengths: dict[Material, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    nailed: dict[Material, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for piece in taken.pieces:
        lengths[piece.material][piece.length_nm] += piece.count
        if piece.fastener is not None:
            nailed[piece.material][piece.fastener] += piece.length_nm * piece.count
    return {
        material: (
            tuple(sorted(counts.items(), reverse=True)),
            tuple(sorted(nailed[material].items())),
        )
        for material, counts in lengths.items()
    }


def _check_sets(takeoff: Takeoff) -> Iterator[str]:
    shares: dict[tuple[str, Material], int] = defaultdict(int)
    demanded: dict[tuple[str, Material], tuple[Lengths, Nailed]] = {}
    for demand in takeoff.demand.sets:
        pieces = demand.piece_set
        shared = sum(share for _, share in demand.marks)
        if shared != demand.quantity:
            yield (
                f"Demand of {pieces.material} for {demand.marks[0][0] if demand.marks else '?'}: "
                f"its marks add up to {shared}, expected {demand.quantity}."
            )
        for mark, share in demand.marks:
            shares[mark, pieces.material] += share
            demanded[mark, pieces.material] = (
                tuple(sorted(pieces.lengths, reverse=True)),
                tuple(sorted(pieces.nailed_nm)),
            )
    # Alike openings share their pieces: what is worked out for one holds for the others.
    known: dict[int, dict[Material, tuple[Lengths, Nailed]]] = {}
    for taken in takeoff.openings:
        mark, quantity = taken.opening.mark, taken.opening.quantity
        sets = known.get(id(taken.pieces))
        if sets is None:
            sets = known.setdefault(id(taken.pieces), _sets_of(taken))
        for material, expected in sets.items():
            share = shares.pop((mark, material), 0)
            if share != quantity:
                yield f"Demand of {material} for {mark}: {share} openings, expected {quantity}."
            found = demanded.get((mark, material))
            if found is not None and found != expected:
                yield (
                    f"Demand of {material} for {mark}: pieces {found[0]}, nailed {found[1]} nm, "
                    f"expected {expected[0]}, {expected[1]}."
                )
    for (mark, material), share in shares.items():
        yield f"Demand of {material} for {mark}: {share} openings, expected none."


def _check_counts(order: Order, takeoff: Takeoff) -> Iterator[str]:
    found: dict[tuple[int, int, int | None], tuple[str, ...]] = {}
    for taken in takeoff.openings:
        wanted_nm = taken.opening.fastener_spacing_nm or order.policy.fastener_spacing_nm
        # Alike openings share their pieces and counts: one of them stands for the others.
        shared = id(taken.pieces), id(taken.fasteners), wanted_nm
        if shared not in found:
            found[shared] = tuple(_check_count(order, taken, wanted_nm))
        for failure in found[shared]:
            yield f"Takeoff of {taken.opening.mark}{failure}"


def _check_count(order: Order, taken: OpeningTakeoff, wanted_nm: int | None) -> Iterator[str]:
    """Yield what is wrong with the counts of one opening, without its mark."""
    expected = _pieces_by_pool(order, taken)
    found = sorted(
        taken.fasteners,
        key=lambda c: (str(c.pool), c.spacing_nm, c.end_distance_nm, c.least_fasteners),
    )
    if [str(count.pool) for count in found] != [str(pool) for pool, _, _ in expected]:
        yield (
            f": fasteners are counted for {_names(count.pool for count in taken.fasteners)}, "
            f"expected {_names(pool for pool, _, _ in expected)}."
        )
        return
    for piece in taken.pieces:
        chosen_nm = None if piece.fastener is None or piece.spacing_by_rule else wanted_nm
        if chosen_nm is not None and piece.spacing_nm != chosen_nm:
            yield (
                f", {piece.edge}, {piece.member}: spacing {piece.spacing_nm} nm, expected "
                f"{chosen_nm} nm."
            )
    for (pool, fixing, pieces), count in zip(expected, found, strict=True):
        spacing_nm, end_distance_nm, least = fixing
        if count.spacing_nm != spacing_nm:
            yield f", {pool}: spacing {count.spacing_nm} nm, expected {spacing_nm} nm."
        if (count.end_distance_nm, count.least_fasteners) != (end_distance_nm, least):
            yield (
                f", {pool}: end distance {count.end_distance_nm} nm and at least "
                f"{count.least_fasteners}, expected {end_distance_nm} nm and {least}."
            )
        running_nm = sum(length_nm * number for length_nm, number in pieces)
        if count.running_length_nm != running_nm:
            yield (
                f", {pool}: running length {count.running_length_nm} nm, expected {running_nm} nm."
            )
        by_length = ceil(Fraction(running_nm, count.spacing_nm))
        if count.by_running_length != by_length:
            yield f", {pool}: {count.by_running_length} by running length, expected {by_length}."
        per_piece = sum(
            number * _nails_in(length_nm, count.spacing_nm, end_distance_nm, least)
            for length_nm, number in pieces
        )
        if count.per_piece != per_piece:
            yield f", {pool}: {count.per_piece} by piece, expected {per_piece}."


def _nails_in(length_nm: int, spacing_nm: int, end_distance_nm: int, least: int) -> int:
    """Return one nail near each end and as many between as keep the spacing; never below least."""
    spaces = ceil(Fraction(length_nm - 2 * end_distance_nm, spacing_nm))
    return max(1 + spaces, least)


def _pieces_by_pool(
    order: Order, taken: OpeningTakeoff
) -> list[tuple[FastenerPool, tuple[int, int, int], list[tuple[int, int]]]]:
    """Return each pool, spacing with end distance and least count, and (length, pieces)."""
    pools: dict[tuple[FastenerPool, tuple[int, int, int]], list[tuple[int, int]]]
    pools = defaultdict(list)
    for piece in taken.pieces:
        if piece.fastener is not None:
            finish = piece.material.finish if order.policy.fasteners_match_finish else None
            fixing = piece.spacing_nm, piece.end_distance_nm, piece.least_fasteners
            pools[FastenerPool(piece.fastener, finish), fixing].append(
                (piece.length_nm, piece.count)
            )
    in_order = sorted(pools, key=lambda key: (str(key[0]), key[1]))
    return [(pool, fixing, pools[pool, fixing]) for pool, fixing in in_order]


def _names(pools: Iterable[FastenerPool]) -> str:
    return "; ".join(str(pool) for pool in sorted(pools, key=str)) or "none"


def _check_needs(order: Order, takeoff: Takeoff) -> Iterator[str]:
    policy = order.policy
    by_length: dict[FastenerPool, int] = defaultdict(int)
    per_piece: dict[FastenerPool, int] = defaultdict(int)
    for taken in takeoff.openings:
        for count in taken.fasteners:
            by_length[count.pool] += count.by_running_length * taken.opening.quantity
            per_piece[count.pool] += count.per_piece * taken.opening.quantity
    pools = Counter(need.pool for need in takeoff.demand.fasteners)
    for pool in dict.fromkeys((*by_length, *pools)):
        expected_times = 1 if pool in by_length else 0
        if pools[pool] != expected_times:
            yield f"Need of {pool}: it stands {pools[pool]} times, expected {expected_times}."
    for need in takeoff.demand.fasteners:
        counted = (
            per_piece[need.pool]
            if policy.fastener_counting is FastenerCounting.PER_PIECE
            else by_length[need.pool]
        )
        allowance = ceil(counted * Fraction(policy.fastener_allowance_percent) / 100)
        for name, value, expected in (
            ("by running length", need.by_running_length, by_length[need.pool]),
            ("by piece", need.per_piece, per_piece[need.pool]),
            ("counted", need.counted, counted),
            ("allowance", need.allowance, allowance),
            ("spares", need.spares, policy.spare_fasteners),
        ):
            if value != expected:
                yield f"Need of {need.pool}, {name}: {value}, expected {expected}."
