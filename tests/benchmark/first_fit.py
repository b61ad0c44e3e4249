"""First-fit decreasing, and the order bought by it: what is done without a solver."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.benchmark.assignment import Assignment, Cutting, Pool


def first_fit_decreasing(weights: Sequence[int], counts: Sequence[int], room: int) -> list[int]:
    """Return the weight on each bar, the longest piece first and each in the first bar with room.

    `weights` fall. Pieces that are longer than the room are left out.
    """
    filled: list[int] = []
    for weight, count in zip(weights, counts, strict=True):
        left = count if weight <= room else 0
        # A bar that had no room for the last piece has none for the next one of its length.
        for bar in range(len(filled)):
            if not left:
                break
            taken = min(left, (room - filled[bar]) // weight)
            filled[bar] += taken * weight
            left -= taken
        while left:
            taken = min(left, room // weight)
            filled.append(taken * weight)
            left -= taken
    return filled


def price_first_fit(problem: "Assignment") -> int:
    """Return the cost in cents of the order by rule of thumb.

    Each material is cut by first-fit decreasing from the one stock length that comes cheapest,
    and each bar then bought in the cheapest length that holds what is on it. Either nothing
    comes as a kit, or each set for which a kit costs less than its strip at the best price per
    length and its fasteners at the best price each; the cheaper of the two counts. Packs are
    bought of the cheapest kind, the last ones of whatever is cheapest.
    """
    return min(_price(problem, with_kits=False), _price(problem, with_kits=True))


def _price(problem: "Assignment", *, with_kits: bool) -> int:
    cents = 0
    needed = [list(cutting.needed) for cutting in problem.materials]
    fasteners = [pool.needed for pool in problem.pools]
    rates = [
        min(stock.cents / stock.room for stock in cutting.stock) for cutting in problem.materials
    ]
    each = [min(price / count for count, price in pool.packs) for pool in problem.pools]
    for wanted in problem.sets if with_kits else ():
        weights = problem.materials[wanted.material].weights
        cut = rates[wanted.material] * sum(weights[i] * count for i, count in wanted.pieces)
        worth, kit = min(
            ((kit.cents - (0 if kit.pool is None else each[kit.pool] * kit.fasteners), kit)
             for kit in wanted.kits),
            key=lambda entry: entry[0],
            default=(cut, None),
        )  # fmt: skip
        if kit is None or worth >= cut:
            continue
        cents += kit.cents * wanted.quantity
        for i, count in wanted.pieces:
            needed[wanted.material][i] -= count * wanted.quantity
        if kit.pool is not None:
            fasteners[kit.pool] -= kit.fasteners * wanted.quantity
    for cutting, left in zip(problem.materials, needed, strict=True):
        cents += min(_price_bars(cutting, left, stock.room) for stock in cutting.stock)
    for pool, left in zip(problem.pools, fasteners, strict=True):
        cents += _price_packs(pool, left)
    return cents


def _price_bars(cutting: "Cutting", needed: Sequence[int], room: int) -> int:
    """Return the cost of cutting from bars with a room, and from longer ones what needs them."""
    cents = 0
    left = list(needed)
    for tried in sorted({room, *(stock.room for stock in cutting.stock if stock.room > room)}):
        for filled in first_fit_decreasing(cutting.weights, left, tried):
            cents += min(stock.cents for stock in cutting.stock if stock.room >= filled)
        left = [
            count if weight > tried else 0
            for weight, count in zip(cutting.weights, left, strict=True)
        ]
    assert not any(left), "a piece is longer than every stock length"
    return cents


def _price_packs(pool: "Pool", needed: int) -> int:
    if needed <= 0:
        return 0
    count, cents = min(pool.packs, key=lambda pack: pack[1] / pack[0])
    whole = needed // count
    rest = needed - whole * count
    return whole * cents + min(-(-rest // held) * price for held, price in pool.packs)
