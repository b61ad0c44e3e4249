"""Count fasteners by both rules: for one opening, and over the order."""

from collections import defaultdict
from collections.abc import Iterable

from optimiser.domain.order import FastenerCounting, Policy
from optimiser.domain.takeoff import (
    FastenerCount,
    FastenerNeed,
    FastenerPool,
    OpeningTakeoff,
    Piece,
    pool_of,
)
from optimiser.units.counts import add_percent, fasteners_by_running_length, fasteners_per_piece


def count_fasteners(pieces: Iterable[Piece], policy: Policy) -> tuple[FastenerCount, ...]:
    """Return the fasteners of one opening by pool and spacing, by both rules.

    The running length of a pool at one spacing is summed over the opening before it is divided.
    """
    fixed: dict[tuple[FastenerPool, int, int, int], list[tuple[int, int]]] = defaultdict(list)
    for piece in pieces:
        if piece.fastener is None:
            continue
        fixed[
            pool_of(piece.fastener, piece.material.finish, policy),
            piece.spacing_nm,
            piece.end_distance_nm,
            piece.least_fasteners,
        ].append((piece.length_nm, piece.count))
    counts = []
    for key in sorted(fixed, key=lambda k: (k[0].fastener, k[0].finish or "", *k[1:])):
        pool, spacing_nm, end_distance_nm, least = key
        running_length_nm = sum(length_nm * count for length_nm, count in fixed[key])
        counts.append(
            FastenerCount(
                pool=pool,
                spacing_nm=spacing_nm,
                end_distance_nm=end_distance_nm,
                least_fasteners=least,
                running_length_nm=running_length_nm,
                by_running_length=fasteners_by_running_length(running_length_nm, spacing_nm),
                per_piece=sum(
                    count * fasteners_per_piece(length_nm, spacing_nm, end_distance_nm, least)
                    for length_nm, count in fixed[key]
                ),
            )
        )
    return tuple(counts)


def sum_needs(openings: Iterable[OpeningTakeoff], policy: Policy) -> tuple[FastenerNeed, ...]:
    """Return what the order needs of each pool, in the order of the pools.

    The allowance is added once to the sum over the order; spares are per pool.
    """
    by_running_length: dict[FastenerPool, int] = defaultdict(int)
    per_piece: dict[FastenerPool, int] = defaultdict(int)
    for takeoff in openings:
        for count in takeoff.fasteners:
            by_running_length[count.pool] += takeoff.opening.quantity * count.by_running_length
            per_piece[count.pool] += takeoff.opening.quantity * count.per_piece
    named = (
        by_running_length
        if policy.fastener_counting is FastenerCounting.RUNNING_LENGTH
        else per_piece
    )
    return tuple(
        FastenerNeed(
            pool=pool,
            by_running_length=by_running_length[pool],
            per_piece=per_piece[pool],
            counted=named[pool],
            allowance=add_percent(named[pool], policy.fastener_allowance_percent) - named[pool],
            spares=policy.spare_fasteners,
        )
        for pool in sorted(by_running_length)
    )
