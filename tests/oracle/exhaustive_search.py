"""The least cost of a tiny order by trying everything: no model, no solver."""

from functools import cache
from itertools import product

from tests.oracle.small_orders import SmallOrder


def least_cost_cents(order: SmallOrder) -> int | None:
    """Return the least cost in cents, or `None` when nothing can serve the order.

    Takes orders of single quantities whose bars and packs are sold singly.
    """
    choices = []
    for door in order.doors:
        offers: list[tuple[int, int, bool]] = [(0, 0, True)]
        for kit in order.kits:
            terms = order.kit_terms(door, kit)
            if terms is not None:
                offers.append((*terms, False))
        choices.append(offers)
    needed = order.nails_needed()
    best: int | None = None
    for chosen in product(*choices):
        by_finish: dict[str, list[int]] = {}
        for door, (_, _, cut) in zip(order.doors, chosen, strict=True):
            if cut:
                by_finish.setdefault(door.finish, []).extend(door.pieces())
        cutting = [_cut_cost(order, finish, pieces) for finish, pieces in by_finish.items()]
        nails = sum(brought for _, brought, _ in chosen)
        packs = _pack_cost(tuple((p.low, p.cents) for p in order.packs), max(0, needed - nails))
        if packs is None or None in cutting:
            continue
        cost = sum(cents for cents, _, _ in chosen) + packs + sum(c for c in cutting if c)
        best = cost if best is None else min(best, cost)
    return best


def _cut_cost(order: SmallOrder, finish: str, pieces: list[int]) -> int | None:
    bars = [
        (bar.length - 2 * order.trim + order.kerf, bar.cents)
        for bar in order.bars
        if bar.finish == finish
    ]

    @cache
    def cheapest(left: tuple[int, ...]) -> int | None:
        if not left:
            return 0
        first, rest = left[0], left[1:]
        best: int | None = None
        for companions in _subsets(rest):
            used = sum(companions) + first + order.kerf * (len(companions) + 1)
            prices = [cents for room, cents in bars if used <= room]
            if not prices:
                continue
            remaining = list(rest)
            for length in companions:
                remaining.remove(length)
            others = cheapest(tuple(remaining))
            if others is not None:
                cost = min(prices) + others
                best = cost if best is None else min(best, cost)
        return best

    return cheapest(tuple(sorted(pieces, reverse=True)))


def _subsets(pieces: tuple[int, ...]) -> set[tuple[int, ...]]:
    found: set[tuple[int, ...]] = {()}
    for length in pieces:
        found |= {(*subset, length) for subset in found}
    return found


def _pack_cost(packs: tuple[tuple[int, int], ...], needed: int) -> int | None:
    if needed <= 0:
        return 0
    if not packs:
        return None
    best = [0] + [-1] * needed
    for short in range(1, needed + 1):
        best[short] = min(cents + best[max(0, short - low)] for low, cents in packs)
    return best[needed]
