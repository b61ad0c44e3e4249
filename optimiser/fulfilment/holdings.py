"""What is held for an accepted order: bought and not given back, taken from the rack, cut."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import replace

from optimiser.domain.catalogue import Kit, Material, StandardKit, StockLength
from optimiser.domain.deliveries import CutBars, OpenPurchase
from optimiser.domain.difference import (
    ALREADY_BOUGHT,
    CutOpenings,
    HeldBars,
    HeldFasteners,
    HeldKits,
    Holdings,
    MadePieces,
)
from optimiser.domain.order import Order
from optimiser.domain.plan import PatternSheet, Plan
from optimiser.domain.rack import Offcut
from optimiser.domain.takeoff import FastenerPool, pool_of
from optimiser.fulfilment.cutting import count_cut
from optimiser.fulfilment.goods import Goods
from optimiser.takeoff.piece_sets import gather_piece_sets

MADE_PIECE = "cut already "
"""How the name of pieces begins that lie on the rack of a difference's order."""


def hold_goods(
    order: Order,
    plan: Plan,
    purchase: OpenPurchase,
    cut: tuple[CutBars, ...] = (),
    *,
    before: Holdings | None = None,
) -> Holdings:
    """Return what is held for an order, arrived or on order, with `cut` of its plan cut.

    Where the order is that of a difference, `before` are the holdings that it was made with.

    Raises:
        CutRejected: `cut` is not in the plan.
    """
    tally = _Tally(before or Holdings())
    tally.add_purchase(order, plan, purchase)
    for taken in plan.fasteners_used:
        tally.fasteners[pool_of(taken.fastener, taken.finish, order.policy)] += taken.used
    offcuts = {used.id: used.used for used in plan.offcuts_used}
    for sheet, bars in count_cut(plan, cut):
        tally.cut(sheet, bars)
        if sheet.from_rack:
            offcuts[sheet.sku] -= bars
    tally.add_cut_openings(plan)
    return tally.holdings(tuple(_reserved(plan, offcuts)))


def named_already_bought(name: str) -> str:
    """Return the name under which a SKU stands among what is already bought."""
    return f"{name} ({ALREADY_BOUGHT.lower()})"


def name_pieces(pieces: tuple[MadePieces, ...]) -> Iterator[str]:
    """Yield the id under which each of the cut pieces lies on the rack of a difference's order."""
    yield from (f"{MADE_PIECE}{number}" for number in range(1, len(pieces) + 1))


def name_kits(kits: tuple[HeldKits, ...]) -> Iterator[str]:
    """Yield the SKU under which each of the kits stands among what is already bought."""
    numbers = Counter[str]()
    several = Counter(held.sku for held in kits)
    for held in kits:
        numbers[held.sku] += 1
        size = f", size {numbers[held.sku]}" if several[held.sku] > 1 else ""
        yield named_already_bought(f"{held.sku}{size}")


def _reserved(plan: Plan, left: dict[str, int]) -> Iterator[Offcut]:
    for used in plan.offcuts_used:
        if left[used.id] and not used.id.startswith(MADE_PIECE):
            yield Offcut(
                id=used.id,
                material=used.material,
                length_nm=used.length_nm,
                quantity=left[used.id],
                value=used.value,
            )


class _Tally:
    """Adds up what is held, kind by kind."""

    def __init__(self, before: Holdings) -> None:
        self.bars = {held.sku: held for held in before.bars}
        self.kits = {(held.sku, held.lengths): held for held in before.kits}
        self.pieces: Counter[tuple[Material, int]] = Counter()
        for made in before.pieces:
            self.pieces[made.material, made.length_nm] += made.pieces
        self.fasteners: dict[FastenerPool, int] = defaultdict(int)
        for fasteners in before.fasteners:
            self.fasteners[fasteners.pool] += fasteners.count
        self.cut_openings: Counter[tuple[Material, tuple[tuple[int, int], ...]]] = Counter()
        for cut in before.cut_openings:
            self.cut_openings[cut.material, cut.lengths] += cut.openings

    def add_purchase(self, order: Order, plan: Plan, purchase: OpenPurchase) -> None:
        """Add what is bought and has not gone back."""
        goods = Goods(order, plan)
        for line in purchase.lines:
            if line.supplier == ALREADY_BOUGHT:
                continue
            article = goods.article(line.sku)
            match article:
                case StockLength():
                    bars = HeldBars(
                        supplier=line.supplier,
                        sku=line.sku,
                        material=article.material,
                        length_nm=article.length_nm,
                        bars=line.held * article.bars_per_unit,
                    )
                    known = self.bars.get(line.sku)
                    self.bars[line.sku] = (
                        bars if known is None else replace(known, bars=known.bars + bars.bars)
                    )
                case Kit() | StandardKit():
                    self._add_kits(
                        HeldKits(
                            supplier=line.supplier,
                            sku=line.sku,
                            material=article.material,
                            lengths=line.lengths,
                            kits=line.held,
                            to_measure=isinstance(article, Kit),
                        )
                    )
            brought = goods.fasteners(line)
            if brought is not None:
                self.fasteners[brought[0]] += line.held * brought[1]

    def add_cut_openings(self, plan: Plan) -> None:
        """Add the openings whose pieces the plan cuts from their own material."""
        for opening in plan.openings:
            sets = {s.material: s.lengths for s in gather_piece_sets(opening.takeoff.pieces)}
            for supply in opening.supplies:
                if supply.cut:
                    self.cut_openings[supply.material, sets[supply.material]] += supply.cut

    def cut(self, sheet: PatternSheet, bars: int) -> None:
        """Turn bars, offcuts or pieces into the pieces that a pattern cuts from them."""
        if sheet.from_rack:
            if sheet.sku.startswith(MADE_PIECE):
                self.pieces[sheet.material, sheet.stock_nm] -= bars
        else:
            names = {named_already_bought(sku): sku for sku in self.bars}
            sku = names.get(sheet.sku, sheet.sku)
            if sku in self.bars:
                # Bars that have gone back cannot have been cut: fewer than none are never held.
                left = max(self.bars[sku].bars - bars, 0)
                self.bars[sku] = replace(self.bars[sku], bars=left)
        for length_nm, count in sheet.cuts:
            self.pieces[sheet.material, length_nm] += count * bars

    def holdings(self, offcuts: tuple[Offcut, ...]) -> Holdings:
        """Return the sums in an order of their own."""
        return Holdings(
            bars=tuple(self.bars[sku] for sku in sorted(self.bars) if self.bars[sku].bars),
            kits=tuple(self.kits[key] for key in sorted(self.kits) if self.kits[key].kits),
            pieces=tuple(
                MadePieces(material=material, length_nm=length_nm, pieces=count)
                for (material, length_nm), count in sorted(self.pieces.items())
                if count
            ),
            fasteners=tuple(
                HeldFasteners(pool=pool, count=self.fasteners[pool])
                for pool in sorted(self.fasteners, key=str)
                if self.fasteners[pool]
            ),
            offcuts=offcuts,
            cut_openings=tuple(
                CutOpenings(material=material, lengths=lengths, openings=openings)
                for (material, lengths), openings in sorted(self.cut_openings.items())
            ),
        )

    def _add_kits(self, kits: HeldKits) -> None:
        key = kits.sku, kits.lengths
        known = self.kits.get(key)
        self.kits[key] = kits if known is None else replace(known, kits=known.kits + kits.kits)
