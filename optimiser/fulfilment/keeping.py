"""Which openings of a changed order are served as they stand, by what is bought and cut.

A mark keeps as many of its openings as, for each of their materials, have a made-to-measure kit
of exactly their pieces that is bought already, or else all their pieces cut already. Kits go
before pieces, marks in their natural order. Openings are equal where their pieces are.

Pieces keep no more openings than the plan cuts with exactly those pieces: else they would go to an
added opening, and leave the one that they were cut for to be bought anew.
"""

from collections import Counter
from dataclasses import dataclass, replace

from optimiser.domain.catalogue import Material
from optimiser.domain.difference import HeldFasteners, HeldKits, Holdings, KeptOpenings, MadePieces
from optimiser.domain.order import Policy
from optimiser.domain.plan import SetSupply
from optimiser.domain.takeoff import FastenerPool, OpeningTakeoff, PieceSet, Takeoff
from optimiser.takeoff.fasteners import sum_needs
from optimiser.takeoff.piece_sets import gather_piece_sets


@dataclass(frozen=True, slots=True)
class Kept:
    """What is kept, how many openings of each mark are not, and the holdings that are left."""

    openings: tuple[KeptOpenings, ...]
    to_plan: dict[str, int]
    left: Holdings


def keep_openings(takeoff: Takeoff, policy: Policy, holdings: Holdings) -> Kept:
    """Return which openings are kept, and what is left for the others.

    Fasteners are pooled: those left are the ones held, less what the whole order needs beyond
    what the openings that are not kept need. Where some are lacking, marks that need them are
    kept no longer, the last first, so that the others' order buys them.
    """
    keeper = _Keeper(holdings)
    kept = {taken.opening.mark: keeper.keep(taken) for taken in takeoff.openings}
    while True:
        rest = _not_kept(takeoff, kept)
        fasteners = _left_over(takeoff, rest, policy, holdings)
        lacking = {pool for pool, count in fasteners.items() if count < 0}
        given_up = _last_that_needs(takeoff, kept, lacking)
        if given_up is None:
            break
        keeper.give_up(kept[given_up], given_up, takeoff)
        del kept[given_up]
    return Kept(
        openings=tuple(item for item in kept.values() if item.quantity),
        to_plan=rest,
        left=keeper.left(holdings, fasteners),
    )


def _not_kept(takeoff: Takeoff, kept: dict[str, KeptOpenings]) -> dict[str, int]:
    return {
        taken.opening.mark: taken.opening.quantity
        - (kept[taken.opening.mark].quantity if taken.opening.mark in kept else 0)
        for taken in takeoff.openings
    }


def _left_over(
    takeoff: Takeoff, rest: dict[str, int], policy: Policy, holdings: Holdings
) -> dict[FastenerPool, int]:
    """Return the fasteners of each pool that are left for the openings that are not kept."""
    to_plan = [with_quantity(t, rest[t.opening.mark]) for t in takeoff.openings]
    needs = {
        need.pool: need.needed for need in sum_needs((t for t in to_plan if t is not None), policy)
    }
    left = {held.pool: held.count for held in holdings.fasteners}
    for need in takeoff.demand.fasteners:
        left[need.pool] = left.get(need.pool, 0) - need.needed + needs.get(need.pool, 0)
    return left


def with_quantity(taken: OpeningTakeoff, quantity: int) -> OpeningTakeoff | None:
    """Return the takeoff of so many openings of a mark; `None` for none."""
    if not quantity:
        return None
    return replace(taken, opening=replace(taken.opening, quantity=quantity))


def _last_that_needs(
    takeoff: Takeoff, kept: dict[str, KeptOpenings], pools: set[FastenerPool]
) -> str | None:
    for taken in reversed(takeoff.openings):
        mark = taken.opening.mark
        if (
            mark in kept
            and kept[mark].quantity
            and any(count.pool in pools for count in taken.fasteners)
        ):
            return mark
    return None


class _Keeper:
    """Hands kits and cut pieces to the openings that need exactly them."""

    def __init__(self, holdings: Holdings) -> None:
        self._kits: Counter[HeldKits] = Counter()
        for held in holdings.kits:
            self._kits[held] += held.kits
        self._pieces: Counter[tuple[Material, int]] = Counter()
        for made in holdings.pieces:
            self._pieces[made.material, made.length_nm] += made.pieces
        self._cut = Counter(
            {(cut.material, cut.lengths): cut.openings for cut in holdings.cut_openings}
        )

    def keep(self, taken: OpeningTakeoff) -> KeptOpenings:
        """Return as many openings of a mark as can be kept."""
        sets = gather_piece_sets(taken.pieces)
        by_kit: dict[Material, Counter[str]] = {s.material: Counter() for s in sets}
        by_pieces: Counter[Material] = Counter()
        left = taken.opening.quantity if sets else 0
        while left:
            ways = [(piece_set, *self._way(piece_set)) for piece_set in sets]
            number = min(left, *(there for _, _, there in ways))
            if not number:
                break
            left -= number
            for piece_set, kit, _ in ways:
                self._use(piece_set, kit, number)
                if kit is None:
                    by_pieces[piece_set.material] += number
                else:
                    by_kit[piece_set.material][kit.sku] += number
        return KeptOpenings(
            mark=taken.opening.mark,
            quantity=taken.opening.quantity - left if sets else 0,
            supplies=tuple(
                SetSupply(
                    material=material,
                    kits=tuple(sorted(by_kit[material].items())),
                    cut=by_pieces[material],
                )
                for material in by_kit
            ),
        )

    def give_up(self, kept: KeptOpenings, mark: str, takeoff: Takeoff) -> None:
        """Take back what keeps the openings of a mark."""
        taken = next(taken for taken in takeoff.openings if taken.opening.mark == mark)
        sets = {s.material: s for s in gather_piece_sets(taken.pieces)}
        for supply in kept.supplies:
            piece_set = sets[supply.material]
            for sku, number in supply.kits:
                kit = next(held for held in self._fitting(piece_set) if held.sku == sku)
                self._use(piece_set, kit, -number)
            self._use(piece_set, None, -supply.cut)

    def left(self, holdings: Holdings, fasteners: dict[FastenerPool, int]) -> Holdings:
        """Return the holdings without what is handed out."""
        return replace(
            holdings,
            kits=tuple(
                replace(held, kits=self._kits[held]) for held in holdings.kits if self._kits[held]
            ),
            pieces=tuple(
                MadePieces(material=material, length_nm=length_nm, pieces=count)
                for (material, length_nm), count in sorted(self._pieces.items())
                if count
            ),
            fasteners=tuple(
                HeldFasteners(pool=pool, count=count)
                for pool, count in sorted(fasteners.items(), key=lambda item: str(item[0]))
                if count
            ),
        )

    def _fitting(self, piece_set: PieceSet) -> list[HeldKits]:
        return [
            held
            for held in self._kits
            if held.to_measure
            and (held.material, held.lengths) == (piece_set.material, piece_set.lengths)
        ]

    def _way(self, piece_set: PieceSet) -> tuple[HeldKits | None, int]:
        """Return the kit to use next, or `None` for pieces, and how many openings it serves."""
        for held in self._fitting(piece_set):
            if self._kits[held]:
                return held, self._kits[held]
        return None, min(
            self._cut[piece_set.material, piece_set.lengths],
            *(
                self._pieces[piece_set.material, length_nm] // count
                for length_nm, count in piece_set.lengths
            ),
        )

    def _use(self, piece_set: PieceSet, kit: HeldKits | None, number: int) -> None:
        if kit is not None:
            self._kits[kit] -= number
            return
        self._cut[piece_set.material, piece_set.lengths] -= number
        for length_nm, count in piece_set.lengths:
            self._pieces[piece_set.material, length_nm] -= count * number
