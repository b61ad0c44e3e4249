"""The goods of a plan as they are used up, opening by opening, with every step undone at will.

A step that finds something missing either fails, or counts what is missing where `lacking` is
set and goes on as if it were there.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from optimiser.domain.catalogue import Material
from optimiser.domain.deliveries import OpenLine, OpenPurchase
from optimiser.domain.opening import Edge
from optimiser.domain.order import FastenerCounting, Order
from optimiser.domain.plan import CutListLine, OpeningPlan, Plan, PurchaseKind
from optimiser.domain.takeoff import FastenerPool, LiesOn, OpeningTakeoff
from optimiser.fulfilment.goods import Goods
from optimiser.fulfilment.lines import LineKey, key_of
from optimiser.units.counts import add_percent

Place = tuple[Edge, str, LiesOn, Material, int]
"""Where a piece lies and what it is: edge, member, what it lies on, material cut and length."""

NO_LINE: LineKey = ("", "", ())
"""Stands for the line of a kit that the purchase does not have: none of it ever arrives."""

Key = tuple[object, ...]
"""What a count is of: its kind first, then what names it."""


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of a cut list, named by its mark and its position there."""

    mark: str
    number: int
    line: CutListLine

    @property
    def pieces(self) -> Key:
        return "pieces", self.mark, self.number

    def allotted(self, pattern: str) -> Key:
        return "allotted", self.mark, self.number, pattern


@dataclass(frozen=True, slots=True)
class Service:
    """A way in which the piece set of a material is supplied: a kit's line, or a material cut."""

    wanted: Material
    kit: LineKey | None
    cut: Material | None


class Bench:
    """What there is of everything, as counts by key, and a record of every change."""

    def __init__(self, order: Order, plan: Plan, purchase: OpenPurchase) -> None:
        self.lacking: Counter[Key] | None = None
        self._policy = order.policy
        self._sheets = {sheet.name: sheet for sheet in plan.patterns}
        self._left: Counter[Key] = Counter()
        self._done: list[tuple[Key, int]] = []
        self._arrived: Counter[FastenerPool] = Counter()
        self._ways: dict[tuple[str, Place], list[tuple[_Line, ...]]] = {}
        self._services: dict[str, list[Service]] = {}
        for supply in plan.fasteners:
            self._arrived[supply.pool] += supply.on_hand
        for offcut in plan.offcuts_used:
            self._left["bars", offcut.id] = offcut.used
        goods = Goods(order, plan)
        kits: dict[tuple[str, str], LineKey] = {}
        for line in purchase.lines:
            self._lay_in(line, goods)
            kits |= {(line.sku, mark): key_of(line) for mark in line.made_for or ("",)}
        for opening in plan.openings:
            self._note_services(opening, kits)
            self._note_pieces(opening)

    def mark(self) -> int:
        """Return where the record stands, to come back to with `undo`."""
        return len(self._done)

    def undo(self, mark: int) -> None:
        """Take back every step since the mark."""
        while len(self._done) > mark:
            key, before = self._done.pop()
            self._left[key] = before

    def finish_one(self, takeoff: OpeningTakeoff) -> bool:
        """Use up what one opening of a mark needs; return whether all of it is there.

        What has been used up is taken back where it is not.
        """
        start = self.mark()
        wanted = dict.fromkeys(piece.material for piece in takeoff.pieces)
        served = all(self._serve(takeoff, material) for material in wanted)
        if served and self._nail(takeoff):
            return True
        self.undo(start)
        return False

    def _lay_in(self, line: OpenLine, goods: Goods) -> None:
        """Note what has arrived of a line and has not gone back."""
        there = line.received - line.returned
        if line.kind is PurchaseKind.STOCK_LENGTH:
            self._left["bars", line.sku] = there * goods.bars(line)
        elif line.kind is not PurchaseKind.FASTENER_PACK:
            self._left["kit", key_of(line)] = there
        brought = goods.fasteners(line)
        if brought is not None:
            self._arrived[brought[0]] += there * brought[1]

    def _note_services(self, opening: OpeningPlan, kits: dict[tuple[str, str], LineKey]) -> None:
        """Note how many openings of a mark each service supplies."""
        mark = opening.takeoff.opening.mark
        services = self._services.setdefault(mark, [])
        for supply in opening.supplies:
            wanted = supply.material
            by_kit = [(kits.get((sku, mark)), number) for sku, number in supply.kits]
            by_kit += [(kits.get((sku, "")), number) for sku, number in supply.standard_kits]
            cut = [(wanted, supply.cut), *supply.cut_instead]
            numbers = [(Service(wanted, kit or NO_LINE, None), number) for kit, number in by_kit]
            numbers += [(Service(wanted, None, material), number) for material, number in cut]
            for service, number in numbers:
                if number and service not in services:
                    services.append(service)
                self._left["service", mark, service] += number

    def _note_pieces(self, opening: OpeningPlan) -> None:
        """Note the pieces that are cut for a mark, and the patterns that each comes from."""
        mark = opening.takeoff.opening.mark
        segments: list[_Line] = []
        for number, line in enumerate(opening.cut_list):
            listed = _Line(mark, number, line)
            for name, pieces in line.from_patterns:
                self._left[listed.allotted(name)] = pieces
            way: tuple[_Line, ...] = (listed,)
            if line.segment_of_nm is not None:
                # The two segments of a spliced piece follow each other in the cut list.
                segments.append(listed)
                if len(segments) < 2:
                    continue
                way, segments = tuple(segments), []
            self._left[way[0].pieces] = line.pieces
            self._ways.setdefault((mark, _place_of(line)), []).append(way)

    def _serve(self, takeoff: OpeningTakeoff, wanted: Material) -> bool:
        mark = takeoff.opening.mark
        services = [
            service
            for service in self._services[mark]
            if service.wanted == wanted and self._left["service", mark, service]
        ]
        for service in services:
            start = self.mark()
            self._change(("service", mark, service), -1)
            if self._use(takeoff, service):
                return True
            self.undo(start)
        return False

    def _use(self, takeoff: OpeningTakeoff, service: Service) -> bool:
        if service.kit is not None:
            return self._draw(("kit", service.kit))
        assert service.cut is not None
        return all(
            self._take_piece(
                (
                    takeoff.opening.mark,
                    (piece.edge, piece.member, piece.lies_on, service.cut, piece.length_nm),
                )
            )
            for piece in takeoff.pieces
            if piece.material == service.wanted
            for _ in range(piece.count)
        )

    def _take_piece(self, key: tuple[str, Place]) -> bool:
        for way in self._ways.get(key, []):
            if not self._left[way[0].pieces]:
                continue
            start = self.mark()
            self._change(way[0].pieces, -1)
            if all(self._cut(line) for line in way):
                return True
            self.undo(start)
        return False

    def _cut(self, line: _Line) -> bool:
        """Take a piece that lies there already, or begin another bar of a pattern."""
        length_nm = line.line.length_nm
        allotted = [
            name for name, _ in line.line.from_patterns if self._left[line.allotted(name)] > 0
        ]
        lying = [name for name in allotted if self._left["made", name, length_nm] > 0]
        there = [name for name in allotted if self._left["bars", self._sheets[name].sku] > 0]
        if not lying and not there and self.lacking is None:
            return False
        name = (lying or there or allotted)[0]
        if not lying:
            self._draw(("bars", self._sheets[name].sku))
            for cut_nm, count in self._sheets[name].cuts:
                self._change(("made", name, cut_nm), count)
        self._change(line.allotted(name), -1)
        self._change(("made", name, length_nm), -1)
        return True

    def _draw(self, key: Key) -> bool:
        """Take one of something bought or on hand; count it where it is lacking."""
        if self._left[key] > 0:
            self._change(key, -1)
            return True
        if self.lacking is None:
            return False
        self.lacking[key] += 1
        return True

    def _nail(self, takeoff: OpeningTakeoff) -> bool:
        """Use up the fasteners of one opening, with the allowance on all used so far."""
        for pool, count in self._fasteners_of(takeoff):
            key = "nailed", pool
            self._change(key, count)
            needed = add_percent(self._left[key], self._policy.fastener_allowance_percent)
            missing = needed - self._arrived[pool]
            if missing <= 0:
                continue
            if self.lacking is None:
                return False
            self.lacking["fasteners", pool] = missing
        return True

    def _fasteners_of(self, takeoff: OpeningTakeoff) -> Iterator[tuple[FastenerPool, int]]:
        by_piece = self._policy.fastener_counting is FastenerCounting.PER_PIECE
        for count in takeoff.fasteners:
            yield count.pool, count.per_piece if by_piece else count.by_running_length

    def _change(self, key: Key, by: int) -> None:
        before = self._left[key]
        self._done.append((key, before))
        self._left[key] = before + by


def _place_of(line: CutListLine) -> Place:
    length_nm = line.length_nm if line.segment_of_nm is None else line.segment_of_nm
    return line.edge, line.member, line.lies_on, line.material, length_nm
