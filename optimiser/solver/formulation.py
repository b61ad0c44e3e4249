"""From demand, catalogue and policy to the program of `program.py`.

Sets
    g    piece sets, n_g openings each, with count_gi pieces of cover i
    o    kit offers kept for a set (see `offers.py`), each with what it brings, low_go
    c    classes of upgrades: sets whose bare kit turns into one with fasteners for the same
         extra price, with the same number of fasteners
    p    pools of fasteners, needed_p; loose packs f bring low_f of a pool

Variables (block columns)
    kit_go   openings of set g served by kit o            0 ≤ kit_go ≤ n_g
    up_c     kits of class c that are upgraded            0 ≤ up_c ≤ Σ_g n_g
    lots_t   times the sold multiple of stock length t is bought
    lots_f   times the sold multiple of pack f is bought
    The rest of a set, n_g − Σ_o kit_go, is cut.

Objective
    min Σ price_go kit_go + Σ extra_c up_c + Σ price_t multiple_t lots_t
      + Σ price_f multiple_f lots_f

Constraints
    [set g]    Σ_o kit_go ≤ n_g   (= n_g where the set cannot be cut, = k_g where a re-solve
               says so; a limit of the column where there is one offer)
    [class c]  up_c ≤ Σ_{g of c} kit_g,bare
    [pool p]   Σ low_go kit_go + Σ low_c up_c + Σ multiple_f low_f lots_f ≥ needed_p
               (divided by the greatest common divisor of the left side, right side rounded up)
    [cover i]  Σ_j a_ij x_j + Σ_go count_gi kit_go ≥ Σ_g count_gi n_g
    [bars s]   Σ_j x_j ≤ Σ_{t of s} multiple_t lots_t

Which kits of a class are upgraded does not change the cost: one column for the class keeps
such ties out of the search. Stock lengths of one material and one length are one source.
"""

from collections.abc import Iterable
from decimal import Decimal
from math import gcd

from optimiser.domain.catalogue import Catalogue, Material, StockLength
from optimiser.domain.decision import Restriction
from optimiser.domain.order import Policy
from optimiser.domain.takeoff import Demand, FastenerPool, pool_of
from optimiser.solver.formulated import Formulation, UpgradeClass
from optimiser.solver.offers import gather_offers
from optimiser.solver.price_grid import common_measure
from optimiser.solver.program import Column, Cover, Program, ProgramInfeasible, Row, Source, Terms
from optimiser.units.counts import ceil_div


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
        self.offers = gather_offers(demand, catalogue, policy, restriction)
        self.prices = common_measure(self._prices())
        self.columns: list[Column] = []
        self.rows: list[Row] = []

    def _prices(self) -> Iterable[Decimal]:
        for offers in self.offers:
            yield from (offer.quote.unit_price for offer in offers.kept)
            if offers.upgrade is not None:
                yield offers.upgrade.extra
        yield from (stock.price * stock.sold_in_multiples_of for stock in self.stock_lengths)
        yield from (pack.price * pack.sold_in_multiples_of for pack in self.packs)

    def _column(self, name: str, price: Decimal, upper: int, lower: int = 0) -> int:
        cost = self.prices.count(price)
        self.columns.append(Column(name=name, cost=cost, upper=upper, lower=lower))
        return len(self.columns) - 1

    def write(self) -> Formulation:
        """Write columns, rows, covers and sources, in a fixed order."""
        kits, to_cut = self._write_sets(self._usable())
        upgrades = self._write_upgrades(kits)
        covers, lengths = self._write_covers(kits, to_cut)
        sources, source_lengths, stock = self._write_sources(covers, lengths)
        packs = self._write_pools(kits, upgrades)
        return Formulation(
            program=Program(
                columns=tuple(self.columns),
                rows=tuple(self.rows),
                covers=tuple(covers),
                sources=tuple(sources),
            ),
            prices=self.prices,
            kits=kits,
            upgrades=tuple(upgrades.values()),
            stock=stock,
            packs=packs,
            lengths=tuple(length for _, length in lengths),
            source_lengths=tuple(source_lengths),
            drops=self._drops(kits, to_cut, stock),
        )

    def _drops(
        self, kits: dict[tuple[int, str], int], to_cut: dict[int, int], stock: dict[str, int]
    ) -> tuple[int, ...]:
        drops_nm = [0] * len(self.columns)
        for (g, _), column in kits.items():
            if to_cut.get(g):
                drops_nm[column] = self.demand.sets[g].piece_set.running_length_nm
        for entry in self.stock_lengths:
            if entry.sku in stock:
                drops_nm[stock[entry.sku]] = entry.length_nm * entry.sold_in_multiples_of
        measure = max(1, gcd(*drops_nm))
        return tuple(nm // measure for nm in drops_nm)

    def _usable(self) -> dict[Material, int]:
        usable: dict[Material, int] = {}
        for stock in self.stock_lengths:
            nm = stock.length_nm - 2 * self.policy.end_trim_nm
            usable[stock.material] = max(usable.get(stock.material, 0), nm)
        return usable

    def _write_sets(
        self, usable: dict[Material, int]
    ) -> tuple[dict[tuple[int, str], int], dict[int, int]]:
        """Write the kits of each set; return them, and the most openings cut of each set."""
        kits: dict[tuple[int, str], int] = {}
        to_cut: dict[int, int] = {}
        fixed = self.restriction.kits_per_set
        for g, wanted in enumerate(self.demand.sets):
            kept = self.offers[g].kept
            longest_nm = wanted.piece_set.lengths[0][0]
            can_cut = (
                self.policy.allow_cutting
                and self.restriction.cutting
                and longest_nm <= usable.get(wanted.piece_set.material, 0)
            )
            most = fixed[g] if fixed is not None else wanted.quantity
            least = most if fixed is not None or not can_cut else 0
            if (least and not kept) or (most < wanted.quantity and not can_cut):
                raise ProgramInfeasible
            if can_cut:
                to_cut[g] = wanted.quantity - least
            only = len(kept) == 1
            for offer in kept if most else ():
                name = f"kit {offer.kit.sku} for set {g}"
                kits[g, offer.kit.sku] = self._column(
                    name, offer.quote.unit_price, most, least if only else 0
                )
            if most and len(kept) > 1:
                terms = tuple((kits[g, offer.kit.sku], 1) for offer in kept)
                self._row(f"set {g}", terms, least, most)
        return kits, to_cut

    def _write_upgrades(
        self, kits: dict[tuple[int, str], int]
    ) -> dict[tuple[FastenerPool, Decimal, int], UpgradeClass]:
        members: dict[tuple[FastenerPool, Decimal, int], list[tuple[int, str, str]]] = {}
        for g, offers in enumerate(self.offers):
            upgrade = offers.upgrade
            pool = upgrade.offer.pool(self.policy) if upgrade else None
            if upgrade is None or pool is None or (g, upgrade.bare) not in kits:
                continue
            key = (pool, upgrade.extra, upgrade.offer.quote.fasteners_low)
            members.setdefault(key, []).append((g, upgrade.bare, upgrade.offer.kit.sku))
        classes = {}
        for key in sorted(members):
            pool, extra, brought = key
            upper = sum(self.columns[kits[g, bare]].upper for g, bare, _ in members[key])
            column = self._column(f"upgrades to {brought} of {pool} at {extra}", extra, upper)
            classes[key] = UpgradeClass(column=column, members=tuple(members[key]))
            terms = [(column, 1), *((kits[g, bare], -1) for g, bare, _ in members[key])]
            self._row(f"class of {brought} of {pool} at {extra}", terms, None, 0)
        return classes

    def _row(
        self, name: str, terms: Iterable[tuple[int, int]], lower: int | None, upper: int | None
    ) -> None:
        self.rows.append(Row(name=name, terms=tuple(terms), lower=lower, upper=upper))

    def _write_covers(
        self, kits: dict[tuple[int, str], int], to_cut: dict[int, int]
    ) -> tuple[list[Cover], list[tuple[Material, int]]]:
        at_least: dict[tuple[Material, int], int] = {}
        terms: dict[tuple[Material, int], dict[int, int]] = {}
        most: dict[tuple[Material, int], int] = {}
        for g, wanted in enumerate(self.demand.sets):
            if not to_cut.get(g):
                continue
            offered = ((g, offer.kit.sku) for offer in self.offers[g].kept)
            columns = [kits[key] for key in offered if key in kits]
            for length_nm, count in wanted.piece_set.lengths:
                key = (wanted.piece_set.material, length_nm)
                at_least[key] = at_least.get(key, 0) + count * wanted.quantity
                most[key] = most.get(key, 0) + count * to_cut[g]
                terms.setdefault(key, {}).update((column, count) for column in columns)
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

    def _write_pools(
        self,
        kits: dict[tuple[int, str], int],
        upgrades: dict[tuple[FastenerPool, Decimal, int], UpgradeClass],
    ) -> dict[str, int]:
        columns: dict[str, int] = {}
        for need in self.demand.fasteners:
            if need.needed <= 0:
                continue
            terms = [
                (kits[g, offer.kit.sku], offer.quote.fasteners_low)
                for g, offers in enumerate(self.offers)
                for offer in offers.kept
                if offer.quote.fasteners_low
                and offer.pool(self.policy) == need.pool
                and (g, offer.kit.sku) in kits
            ]
            terms.extend(
                (upgrades[key].column, key[2]) for key in sorted(upgrades) if key[0] == need.pool
            )
            for pack in self.packs:
                each = pack.contents.low_count * pack.sold_in_multiples_of
                if not each or pool_of(pack.fastener, pack.finish, self.policy) != need.pool:
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
