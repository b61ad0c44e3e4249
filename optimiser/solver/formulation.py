"""From demand, catalogue and policy to the program of `program.py`.

Sets
    g    piece sets, n_g openings each, with count_gi pieces of cover i
    o    kit offers for a set: same material, longest piece made, allowed
    p    pools of fasteners, needed_p; loose packs f and kits o bring low_f, low_go of a pool

Variables (block columns)
    kit_go   openings of set g served by kit o            0 ≤ kit_go ≤ n_g
    cut_g    openings of set g cut from stock lengths     0 ≤ cut_g ≤ n_g
    lots_t   times the sold multiple of stock length t is bought
    lots_f   times the sold multiple of pack f is bought

Objective
    min Σ price_go kit_go + Σ price_t multiple_t lots_t + Σ price_f multiple_f lots_f

Constraints
    [set g]    Σ_o kit_go + cut_g = n_g         (and Σ_o kit_go = k_g where a re-solve says so)
    [pool p]   Σ low_go kit_go + Σ multiple_f low_f lots_f ≥ needed_p   (divided by the
               greatest common divisor of the left side, the right side rounded up)
    [cover i]  Σ_j a_ij x_j − Σ_g count_gi cut_g ≥ 0
    [bars s]   Σ_j x_j ≤ Σ_{t of s} multiple_t lots_t

Stock lengths of one material and one length are one source. A set that no kit serves is
counted into `at_least` of its covers without a column.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import gcd

from optimiser.domain.catalogue import Catalogue, FastenerPack, Kit, Material, StockLength
from optimiser.domain.decision import Restriction
from optimiser.domain.kit_offer import KitQuote, quote_kit
from optimiser.domain.order import Policy
from optimiser.domain.takeoff import Demand, FastenerPool, SetDemand
from optimiser.solver.price_grid import PriceGrid, common_measure
from optimiser.solver.program import Column, Cover, Program, ProgramInfeasible, Row, Source, Terms
from optimiser.units.counts import ceil_div


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A kit that may serve a set, with its quote."""

    position: int
    kit: Kit
    quote: KitQuote


@dataclass(frozen=True, slots=True, kw_only=True)
class Formulation:
    """A program, and what its columns, covers and sources stand for.

    `kits` maps (set, SKU) to a column, `cuts` a set to a column, `fixed_cuts` a set to a
    number; `stock` and `packs` map a SKU to a column. `cover_of` maps (material, length) to a
    cover; `lengths` gives each cover's length in nanometres and `source_lengths` each source's
    material and length.
    """

    program: Program
    prices: PriceGrid
    kits: dict[tuple[int, str], int]
    cuts: dict[int, int]
    fixed_cuts: dict[int, int]
    stock: dict[str, int]
    packs: dict[str, int]
    lengths: tuple[int, ...]
    source_lengths: tuple[tuple[Material, int], ...]


def formulate(
    demand: Demand, catalogue: Catalogue, policy: Policy, restriction: Restriction
) -> Formulation:
    """Return the program of an order.

    Raises:
        ProgramInfeasible: a set can neither be cut nor bought as a kit.
    """
    return _Writer(demand, catalogue, policy, restriction).write()


class _Writer:
    def __init__(
        self, demand: Demand, catalogue: Catalogue, policy: Policy, restriction: Restriction
    ) -> None:
        self.demand, self.policy, self.restriction = demand, policy, restriction
        self.stock_lengths = sorted(catalogue.stock_lengths, key=lambda stock: stock.sku)
        self.packs = sorted(catalogue.fastener_packs, key=lambda pack: pack.sku)
        kits = sorted(catalogue.kits, key=lambda kit: kit.sku)
        self.offers = [
            Offer(position=g, kit=kit, quote=quote_kit(kit, wanted.piece_set, catalogue.currency))
            for g, wanted in enumerate(demand.sets)
            for kit in kits
            if self._serves(g, wanted, kit)
        ]
        self.prices = common_measure(self._prices())
        self.columns: list[Column] = []
        self.rows: list[Row] = []

    def _serves(self, position: int, wanted: SetDemand, kit: Kit) -> bool:
        restriction = self.restriction
        allowed = (
            restriction.bare_kits if kit.fasteners is None else restriction.kits_with_fasteners
        )
        fixed = restriction.kits_per_set
        longest_nm = wanted.piece_set.lengths[0][0]
        return (
            self.policy.allow_kits
            and allowed
            and kit.material == wanted.piece_set.material
            and (kit.longest_piece_nm is None or longest_nm <= kit.longest_piece_nm)
            and (fixed is None or fixed[position] > 0)
        )

    def _prices(self) -> Iterable[Decimal]:
        yield from (offer.quote.unit_price for offer in self.offers)
        yield from (stock.price * stock.sold_in_multiples_of for stock in self.stock_lengths)
        yield from (pack.price * pack.sold_in_multiples_of for pack in self.packs)

    def _column(self, name: str, price: Decimal, upper: int) -> int:
        self.columns.append(Column(name=name, cost=self.prices.count(price), upper=upper))
        return len(self.columns) - 1

    def write(self) -> Formulation:
        """Write columns, rows, covers and sources, in a fixed order."""
        kits = {
            (offer.position, offer.kit.sku): self._column(
                f"kit {offer.kit.sku} for set {offer.position}",
                offer.quote.unit_price,
                self.demand.sets[offer.position].quantity,
            )
            for offer in self.offers
        }
        usable = self._usable()
        cuts, fixed_cuts = self._write_sets(kits, usable)
        covers, lengths = self._write_covers(cuts, fixed_cuts)
        sources, source_lengths, stock = self._write_sources(covers, lengths)
        packs = self._write_pools(kits)
        return Formulation(
            program=Program(
                columns=tuple(self.columns),
                rows=tuple(self.rows),
                covers=tuple(covers),
                sources=tuple(sources),
            ),
            prices=self.prices,
            kits=kits,
            cuts=cuts,
            fixed_cuts=fixed_cuts,
            stock=stock,
            packs=packs,
            lengths=tuple(length for _, length in lengths),
            source_lengths=tuple(source_lengths),
        )

    def _usable(self) -> dict[Material, int]:
        usable: dict[Material, int] = {}
        for stock in self.stock_lengths:
            nm = stock.length_nm - 2 * self.policy.end_trim_nm
            usable[stock.material] = max(usable.get(stock.material, 0), nm)
        return usable

    def _write_sets(
        self, kits: dict[tuple[int, str], int], usable: dict[Material, int]
    ) -> tuple[dict[int, int], dict[int, int]]:
        cuts: dict[int, int] = {}
        fixed_cuts: dict[int, int] = {}
        offered: dict[int, list[int]] = {}
        for (g, _), column in kits.items():
            offered.setdefault(g, []).append(column)
        for g, wanted in enumerate(self.demand.sets):
            longest_nm = wanted.piece_set.lengths[0][0]
            can_cut = (
                self.policy.allow_cutting
                and self.restriction.cutting
                and longest_nm <= usable.get(wanted.piece_set.material, 0)
            )
            fixed = self.restriction.kits_per_set
            in_kits = None if fixed is None else fixed[g]
            columns = offered.get(g, [])
            if (not columns and (in_kits or not can_cut)) or (
                in_kits is not None and in_kits < wanted.quantity and not can_cut
            ):
                raise ProgramInfeasible
            terms: list[tuple[int, int]] = [(column, 1) for column in columns]
            if not columns:
                fixed_cuts[g] = wanted.quantity
                continue
            if in_kits is not None:
                fixed_cuts[g] = wanted.quantity - in_kits
                self._row(f"set {g}", terms, in_kits, in_kits)
                continue
            if can_cut:
                cuts[g] = self._column(f"cut set {g}", Decimal(0), wanted.quantity)
                terms.append((cuts[g], 1))
            self._row(f"set {g}", terms, wanted.quantity, wanted.quantity)
        return cuts, fixed_cuts

    def _row(
        self, name: str, terms: Iterable[tuple[int, int]], lower: int | None, upper: int | None
    ) -> None:
        self.rows.append(Row(name=name, terms=tuple(terms), lower=lower, upper=upper))

    def _write_covers(
        self, cuts: dict[int, int], fixed_cuts: dict[int, int]
    ) -> tuple[list[Cover], list[tuple[Material, int]]]:
        at_least: dict[tuple[Material, int], int] = {}
        terms: dict[tuple[Material, int], dict[int, int]] = {}
        most: dict[tuple[Material, int], int] = {}
        for g, wanted in enumerate(self.demand.sets):
            for length_nm, count in wanted.piece_set.lengths:
                key = (wanted.piece_set.material, length_nm)
                if g in cuts:
                    terms.setdefault(key, {})[cuts[g]] = -count
                    most[key] = most.get(key, 0) + count * wanted.quantity
                elif fixed_cuts.get(g):
                    at_least[key] = at_least.get(key, 0) + count * fixed_cuts[g]
                    most[key] = most.get(key, 0) + count * fixed_cuts[g]
        lengths = sorted(most, key=lambda key: (key[0], -key[1]))
        measures: dict[Material, int] = {}
        for material, length_nm in lengths:
            weight = length_nm + self.policy.kerf_nm
            measures[material] = gcd(measures.get(material, 0), weight)
        self.measures = measures
        covers = [
            Cover(
                name=f"{key[0]} of {key[1]} nm",
                weight=(key[1] + self.policy.kerf_nm) // measures[key[0]],
                most=most[key],
                at_least=at_least.get(key, 0),
                terms=tuple(terms.get(key, {}).items()),
            )
            for key in lengths
        ]
        return covers, lengths

    def _write_sources(
        self, covers: list[Cover], lengths: list[tuple[Material, int]]
    ) -> tuple[list[Source], list[tuple[Material, int]], dict[str, int]]:
        by_length: dict[tuple[Material, int], list[StockLength]] = {}
        for stock in self.stock_lengths:
            by_length.setdefault((stock.material, stock.length_nm), []).append(stock)
        sources: list[Source] = []
        source_lengths: list[tuple[Material, int]] = []
        columns: dict[str, int] = {}
        for key in sorted(by_length):
            material, length_nm = key
            cut_here = [i for i, (of, _) in enumerate(lengths) if of == material]
            usable = length_nm - 2 * self.policy.end_trim_nm + self.policy.kerf_nm
            capacity = usable // self.measures[material] if cut_here else 0
            fitting = tuple(i for i in cut_here if covers[i].weight <= capacity)
            if not fitting:
                continue
            pieces = sum(covers[i].most for i in fitting)
            bars: Terms = ()
            for stock in by_length[key]:
                multiple = stock.sold_in_multiples_of
                columns[stock.sku] = self._column(
                    f"lots of {stock.sku}", stock.price * multiple, ceil_div(pieces, multiple)
                )
                bars += ((columns[stock.sku], multiple),)
            sources.append(
                Source(
                    name=f"{material} bars of {length_nm} nm",
                    covers=tuple(cut_here),
                    capacity=capacity,
                    bars=bars,
                )
            )
            source_lengths.append(key)
        return sources, source_lengths, columns

    def _write_pools(self, kits: dict[tuple[int, str], int]) -> dict[str, int]:
        columns: dict[str, int] = {}
        for need in self.demand.fasteners:
            if need.needed <= 0:
                continue
            terms = [
                (kits[offer.position, offer.kit.sku], offer.quote.fasteners_low)
                for offer in self.offers
                if offer.quote.fasteners_low and self._pool_of(offer.kit) == need.pool
            ]
            for pack in self.packs:
                each = pack.contents.low_count * pack.sold_in_multiples_of
                if not each or self._pool_of_pack(pack) != need.pool:
                    continue
                columns[pack.sku] = self._column(
                    f"lots of {pack.sku}",
                    pack.price * pack.sold_in_multiples_of,
                    ceil_div(need.needed, each),
                )
                terms.append((columns[pack.sku], each))
            if not terms:
                raise ProgramInfeasible
            # Every supply is a multiple of this measure, so the need may be rounded up to one:
            # the relaxation cannot buy a part of the last pack.
            measure = gcd(*(each for _, each in terms))
            self._row(
                f"fasteners {need.pool}",
                ((column, each // measure) for column, each in terms),
                ceil_div(need.needed, measure),
                None,
            )
        return columns

    def _pool_of(self, kit: Kit) -> FastenerPool:
        fastener = kit.fasteners.fastener if kit.fasteners else ""
        matched = self.policy.fasteners_match_finish
        return FastenerPool(fastener, kit.material.finish if matched else None)

    def _pool_of_pack(self, pack: FastenerPack) -> FastenerPool:
        matched = self.policy.fasteners_match_finish
        return FastenerPool(pack.fastener, pack.finish if matched else None)
