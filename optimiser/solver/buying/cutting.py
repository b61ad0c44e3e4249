"""Cutting: covers, sources, offcuts from the rack, splices.

Variables
    off_r     offcuts r that are cut, at their value      0 ≤ off_r ≤ how many there are
    spl_iab   pieces of cover i made of segments a and b, at the cost of a splice

Constraints
    [cover i]   Σ_j a_ij x_j − Σ_g count_gi cut_g + Σ_ab spl_iab − Σ (segments i) spl ≥ 0
    [splices i] Σ_ab spl_iab ≤ Σ_g spliceable_gi cut_g
                (cut_g of a set's own material is n_g less all columns that serve the set)
    [bars s]    Σ_j x_j ≤ Σ_{t of s} bars_t units_t,  or off_r where s is an offcut

A pattern costs the cut charge for each piece and is credited for its drop (see `credits`). The
drop of a bar with weight u on it is max(0, usable − u), since a weight counts a kerf for each
piece; nothing cut leaves the whole length. No end trim is taken off an offcut.
"""

from dataclasses import dataclass
from decimal import Decimal
from math import gcd

from optimiser.domain.buying import CostRate
from optimiser.domain.catalogue import Material, StockLength
from optimiser.domain.kept_drops import credit_rate_of_offcut
from optimiser.domain.order import Order
from optimiser.domain.rack import Offcut
from optimiser.domain.splicing import segments_of
from optimiser.domain.takeoff import Demand
from optimiser.solver.buying.articles import ArticleWriter
from optimiser.solver.buying.block import Block
from optimiser.solver.buying.cuttable import (
    longest_usable,
    splice_rule,
    spliceable_of,
)
from optimiser.solver.buying.cutting_index import Cutting, Key, Spliced
from optimiser.solver.buying.drops import Drops
from optimiser.solver.buying.sets import Services
from optimiser.solver.program import Cover, Source, Terms
from optimiser.units.counts import ceil_div


@dataclass(frozen=True, slots=True)
class _Cuts:
    """The openings of a set that are cut in a material: fixed + Σ sign column, at most `most`."""

    fixed: int
    columns: dict[int, int]
    most: int


class CuttingWriter:
    """Writes all that concerns cutting into a block."""

    def __init__(
        self,
        *,
        block: Block,
        articles: ArticleWriter,
        order: Order,
        demand: Demand,
        services: Services,
        supplier_of: dict[str, str],
    ) -> None:
        self.block, self.articles, self.order, self.demand = block, articles, order, demand
        self.services, self.supplier_of = services, supplier_of
        self.cutting = Cutting()
        self._at_least: dict[Key, int] = {}
        self._most: dict[Key, int] = {}
        self._terms: dict[Key, dict[int, int]] = {}
        self._spliceable: dict[Key, tuple[dict[int, int], int, int]] = {}

    def write(self) -> Cutting:
        """Write covers, splices, sources and offcuts, in a fixed order."""
        self._gather()
        self._write_splices()
        measures = self._write_covers()
        self._write_sources(measures)
        return self.cutting

    def _gather(self) -> None:
        for g, wanted in enumerate(self.demand.sets):
            own, pieces = wanted.piece_set.material, wanted.piece_set
            ways: list[tuple[Material, _Cuts]] = []
            rest = self.services.rests.get(g)
            if rest is not None and rest.kits < rest.quantity:
                signs = dict.fromkeys(rest.others, -1)
                ways.append((own, _Cuts(rest.quantity, signs, rest.quantity - rest.kits)))
            ways.extend(
                (material, _Cuts(0, {column: 1}, wanted.quantity))
                for (of, material), column in self.services.cuts.items()
                if of == g
            )
            for material, cuts in ways:
                spliceable = spliceable_of(self.order, pieces.spliceable, own, material)
                for length_nm, count in pieces.lengths:
                    self._ask((material, length_nm), cuts, count)
                    may = min(count, spliceable.get(length_nm, 0))
                    if may:
                        self._allow_splices((material, length_nm), cuts, may)

    def _ask(self, key: Key, cuts: _Cuts, count: int) -> None:
        self._most[key] = self._most.get(key, 0) + count * cuts.most
        self._at_least[key] = self._at_least.get(key, 0) + count * cuts.fixed
        for column, sign in cuts.columns.items():
            self._add(key, column, -sign * count)

    def _allow_splices(self, key: Key, cuts: _Cuts, count: int) -> None:
        columns, fixed, most = self._spliceable.get(key, ({}, 0, 0))
        columns = dict(columns)
        for column, sign in cuts.columns.items():
            columns[column] = columns.get(column, 0) + sign * count
        self._spliceable[key] = (
            columns,
            fixed + count * cuts.fixed,
            most + count * cuts.most,
        )

    def _write_splices(self) -> None:
        longest = longest_usable(self.order)
        for key in sorted(self._spliceable):
            material, length_nm = key
            columns, fixed, most = self._spliceable[key]
            rule = splice_rule(self.order, material)
            if rule is None:
                continue
            written = []
            for longer, shorter in segments_of(length_nm, rule):
                if longer > longest.get(material, 0):
                    continue
                name = f"splice {length_nm} nm of {material} at {shorter} nm"
                column = self.block.column(name, rule.cost, most)
                written.append((column, 1))
                self._add(key, column, 1)
                for segment in (longer, shorter):
                    self._add((material, segment), column, -1)
                    piece = (material, segment)
                    self._most[piece] = self._most.get(piece, 0) + most
                self.cutting.splices.append(
                    Spliced(
                        column=column,
                        material=material,
                        length_nm=length_nm,
                        segments_nm=(longer, shorter),
                    )
                )
            if written:
                allowed = [(column, -count) for column, count in columns.items()]
                self.block.row(f"splices of {length_nm} nm", [*written, *allowed], upper=fixed)

    def _add(self, key: Key, column: int, coefficient: int) -> None:
        terms = self._terms.setdefault(key, {})
        terms[column] = terms.get(column, 0) + coefficient

    def _write_covers(self) -> dict[Material, int]:
        kerf_nm = self.order.policy.kerf_nm
        self.cutting.lengths = sorted(self._most, key=lambda key: (key[0], -key[1]))
        measures: dict[Material, int] = {}
        for material, length_nm in self.cutting.lengths:
            measures[material] = gcd(measures.get(material, 0), length_nm + kerf_nm)
        self.cutting.covers = [
            Cover(
                name=f"{key[0]} of {key[1]} nm",
                weight=(key[1] + kerf_nm) // measures[key[0]],
                most=self._most[key],
                at_least=self._at_least.get(key, 0),
                terms=tuple(self._terms.get(key, {}).items()),
            )
            for key in self.cutting.lengths
        ]
        return measures

    def _write_sources(self, measures: dict[Material, int]) -> None:
        policy, keep = self.order.policy, self.order.policy.keep_drops
        by_length: dict[Key, list[StockLength]] = {}
        for stock in sorted(self.order.catalogue.stock_lengths, key=lambda stock: stock.sku):
            by_length.setdefault((stock.material, stock.length_nm), []).append(stock)
        for material, length_nm in sorted(by_length):
            usable = length_nm - 2 * policy.end_trim_nm
            stock_lengths = tuple(by_length[material, length_nm])
            pieces = self._pieces(material, usable, measures)
            if not pieces:
                continue
            bars: Terms = ()
            for stock in stock_lengths:
                bought = self.articles.write(
                    stock,
                    sku=stock.sku,
                    supplier=self.supplier_of[stock.sku],
                    price=stock.price,
                    needed=ceil_div(pieces, stock.bars_per_unit),
                    longest_nm=stock.length_nm,
                )
                self.cutting.bought[stock.sku] = bought
                bars += tuple((k, units * stock.bars_per_unit) for k, units in bought.units)
            rate = keep.credit if keep is not None else None
            name = f"{material} bars of {length_nm} nm"
            self._source(
                name=name,
                material=material,
                length_nm=length_nm,
                usable_nm=usable,
                bars=bars,
                measures=measures,
                rate=rate,
                whole=True,
            )
            self.cutting.articles.append(stock_lengths)
            self.cutting.offcuts.append(())
        self._write_offcuts(measures)

    def _write_offcuts(self, measures: dict[Material, int]) -> None:
        keep = self.order.policy.keep_drops
        alike: dict[tuple[Material, int, CostRate | None], list[Offcut]] = {}
        for offcut in sorted(self.order.rack.offcuts, key=lambda offcut: offcut.id):
            if not self._pieces(offcut.material, offcut.length_nm, measures):
                continue
            rate = None if keep is None else credit_rate_of_offcut(keep, offcut)
            alike.setdefault((offcut.material, offcut.length_nm, rate), []).append(offcut)
        for (material, length_nm, rate), offcuts in alike.items():
            bars: Terms = ()
            for offcut in offcuts:
                name = f"offcut {offcut.id}"
                column = self.block.column(name, offcut.value, offcut.quantity)
                self.cutting.used[offcut.id] = column
                bars += ((column, 1),)
            name = f"{material} offcuts of {length_nm} nm, {offcuts[0].id}"
            self._source(
                name=name,
                material=material,
                length_nm=length_nm,
                usable_nm=length_nm,
                bars=bars,
                measures=measures,
                rate=rate,
                whole=False,
            )
            self.cutting.articles.append(())
            self.cutting.offcuts.append(tuple(offcuts))

    def _pieces(self, material: Material, usable_nm: int, measures: dict[Material, int]) -> int:
        if material not in measures:
            return 0
        capacity = (usable_nm + self.order.policy.kerf_nm) // measures[material]
        return sum(
            cover.most
            for cover, (of, _) in zip(self.cutting.covers, self.cutting.lengths, strict=True)
            if of == material and cover.weight <= capacity
        )

    def _source(
        self,
        *,
        name: str,
        material: Material,
        length_nm: int,
        usable_nm: int,
        bars: Terms,
        measures: dict[Material, int],
        rate: CostRate | None,
        whole: bool,
    ) -> None:
        keep = self.order.policy.keep_drops
        measure = measures[material]
        capacity = (usable_nm + self.order.policy.kerf_nm) // measure
        self.cutting.sources.append(
            Source(
                name=name,
                covers=tuple(i for i, (of, _) in enumerate(self.cutting.lengths) if of == material),
                capacity=capacity,
                bars=bars,
            )
        )
        self.cutting.source_lengths_nm.append(length_nm)
        steps: tuple[tuple[int, Decimal], ...] = ()
        if keep is not None and rate is not None:
            currency = self.order.catalogue.currency
            drops = Drops(length_nm, usable_nm, measure, capacity)
            steps = drops.credit_steps(keep, rate, currency, whole=whole)
        self.cutting.credits.append(steps)
