"""The purchase of an order as a textbook would have it: bars one by one, pieces assigned to them.

Sets and data
    t, b     stock lengths of a material, and the numbered bars of each: as many as first-fit
             decreasing takes of that length alone, beyond which more of it is never cheaper
    i        lengths of a material, w_i with one kerf; room_t the usable length with one kerf
    g, k     piece sets with n_g openings and count_gi pieces, and the kits on offer for each
    p, f     pools of fasteners that need needed_p, and loose packs

Variables (whole)
    used_tb  whether bar b of t is bought             0 or 1
    x_itb    pieces of i cut from it                  0 ≤ x_itb ≤ room_t ÷ w_i
    kit_gk   openings of g served by kit k            0 ≤ kit_gk ≤ n_g
    lots_f   loose packs f bought

    min Σ price_t used_tb + Σ price_gk kit_gk + Σ price_f lots_f
    [bar tb]    Σ_i w_i x_itb ≤ room_t used_tb
    [order tb]  used_tb ≥ used_t,b+1
    [length i]  Σ_tb x_itb + Σ_gk count_gi kit_gk ≥ Σ_g count_gi n_g
    [set g]     Σ_k kit_gk ≤ n_g
    [pool p]    Σ low_gk kit_gk + Σ low_f lots_f ≥ needed_p

Reference: L. V. Kantorovich, "Mathematical methods of organizing and planning production",
Management Science 6 (1960) 366-422, for the formulation with one row per bar.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import gcd
from typing import Generic, TypeVar

from optimiser.domain.kit_offer import quote_kit
from optimiser.domain.order import Order
from optimiser.domain.order_terms import is_plain
from optimiser.domain.takeoff import Demand, pool_of
from tests.benchmark.first_fit import first_fit_decreasing
from tests.benchmark.measuring import cpu_seconds


@dataclass(frozen=True, slots=True)
class Stock:
    """A stock length: room on a bar, price, and the bars of it that a plan could want."""

    room: int
    cents: int
    bars: int


@dataclass(frozen=True, slots=True)
class Cutting:
    """One material: what is needed of each length if all is cut, and the stock lengths."""

    weights: tuple[int, ...]
    needed: tuple[int, ...]
    stock: tuple[Stock, ...]


@dataclass(frozen=True, slots=True)
class KitOffered:
    cents: int
    pool: int | None
    fasteners: int


@dataclass(frozen=True, slots=True)
class PieceSetWanted:
    """`pieces` pairs a position in the material's lengths with a count."""

    material: int
    quantity: int
    pieces: tuple[tuple[int, int], ...]
    kits: tuple[KitOffered, ...]


@dataclass(frozen=True, slots=True)
class Pool:
    """Fasteners needed, and loose packs as (fasteners, cents)."""

    needed: int
    packs: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Assignment:
    """The whole problem in plain integers."""

    materials: tuple[Cutting, ...]
    sets: tuple[PieceSetWanted, ...]
    pools: tuple[Pool, ...]

    @property
    def variables(self) -> int:
        """Return the number of variables of the textbook model."""
        bars = sum(
            stock.bars * (1 + sum(weight <= stock.room for weight in cutting.weights))
            for cutting in self.materials
            for stock in cutting.stock
        )
        kits = sum(len(wanted.kits) for wanted in self.sets)
        return bars + kits + sum(len(pool.packs) for pool in self.pools)


class TooSlow(Exception):
    """The time was over before the model was written."""


@dataclass(frozen=True, slots=True)
class Deadline:
    """A time of the processor, counted by `cpu_seconds`."""

    at: float

    def left(self) -> float:
        """Return the seconds that are left.

        Raises:
            TooSlow: none are.
        """
        left = self.at - cpu_seconds()
        if left <= 0:
            raise TooSlow
        return left


def to_assignment(order: Order, demand: Demand) -> Assignment:
    """Return the problem of an order that has no terms of buying beyond its prices."""
    assert is_plain(order)
    policy, catalogue = order.policy, order.catalogue
    materials = sorted({wanted.piece_set.material for wanted in demand.sets})
    pools = [need.pool for need in demand.fasteners]
    cutting, positions = [], []
    for material in materials:
        needed: dict[int, int] = {}
        for wanted in demand.sets:
            for length_nm, count in wanted.piece_set.lengths:
                if wanted.piece_set.material == material:
                    needed[length_nm] = needed.get(length_nm, 0) + count * wanted.quantity
        lengths = sorted(needed, reverse=True)
        positions.append({length_nm: i for i, length_nm in enumerate(lengths)})
        measure = gcd(*(length_nm + policy.kerf_nm for length_nm in lengths))
        weights = tuple((length_nm + policy.kerf_nm) // measure for length_nm in lengths)
        counts = tuple(needed[length_nm] for length_nm in lengths)
        stock = []
        for offered in catalogue.stock_lengths:
            room = (offered.length_nm - 2 * policy.end_trim_nm + policy.kerf_nm) // measure
            if offered.material != material or room < min(weights):
                continue
            assert offered.sold_in_multiples_of == 1
            bars = first_fit_decreasing(weights, counts, room)
            stock.append(Stock(room, _cents(offered.price), len(bars)))
        cutting.append(Cutting(weights, counts, tuple(stock)))
    return Assignment(
        materials=tuple(cutting),
        sets=tuple(
            PieceSetWanted(
                material=(m := materials.index(wanted.piece_set.material)),
                quantity=wanted.quantity,
                pieces=tuple((positions[m][nm], n) for nm, n in wanted.piece_set.lengths),
                kits=tuple(
                    KitOffered(
                        cents=_cents(quote.unit_price),
                        pool=None
                        if kit.fasteners is None
                        else pools.index(
                            pool_of(kit.fasteners.fastener, kit.material.finish, policy)
                        ),
                        fasteners=quote.fasteners_low,
                    )
                    for kit in catalogue.kits
                    if kit.material == wanted.piece_set.material
                    for quote in (quote_kit(kit, wanted.piece_set, catalogue.currency),)
                ),
            )
            for wanted in demand.sets
        ),
        pools=tuple(
            Pool(
                need.needed,
                tuple(
                    (pack.contents.low_count, _cents(pack.price))
                    for pack in catalogue.fastener_packs
                    if pool_of(pack.fastener, pack.finish, policy) == need.pool
                ),
            )
            for need in demand.fasteners
        ),
    )


def _cents(price: Decimal) -> int:
    cents = price * 100
    assert cents == int(cents)
    return int(cents)


Variable = TypeVar("Variable")


class Writer(Generic[Variable]):
    """Writes the model through a modelling library: one function for each thing it can do."""

    def __init__(
        self,
        *,
        variable: Callable[[str, int], Variable],
        at_most: Callable[[list[tuple[Variable, int]], int], None],
        at_least: Callable[[list[tuple[Variable, int]], int], None],
    ) -> None:
        """Take `variable(name, upper)` and rows Σ terms ≤ or ≥ a number."""
        self._variable, self._at_most, self._at_least = variable, at_most, at_least

    def write(self, problem: Assignment, deadline: Deadline) -> list[tuple[Variable, int]]:
        """Write the model; return the terms of its cost in cents.

        Raises:
            TooSlow: the deadline passed.
        """
        cost: list[tuple[Variable, int]] = []
        covered: list[list[list[tuple[Variable, int]]]] = []
        for m, cutting in enumerate(problem.materials):
            covered.append([[] for _ in cutting.weights])
            for t, stock in enumerate(cutting.stock):
                cost.extend(self._write_bars(f"{m}_{t}", cutting, stock, covered[m], deadline))
        filled: list[list[tuple[Variable, int]]] = [[] for _ in problem.pools]
        for g, wanted in enumerate(problem.sets):
            cost.extend(self._write_kits(g, wanted, covered[wanted.material], filled))
        for m, cutting in enumerate(problem.materials):
            for terms, needed in zip(covered[m], cutting.needed, strict=True):
                self._at_least(terms, needed)
        for p, pool in enumerate(problem.pools):
            for f, (each, cents) in enumerate(pool.packs):
                lots = self._variable(f"lots{p}_{f}", -(-pool.needed // each))
                filled[p].append((lots, each))
                cost.append((lots, cents))
            self._at_least(filled[p], pool.needed)
        return cost

    def _write_bars(
        self,
        name: str,
        cutting: Cutting,
        stock: Stock,
        covered: list[list[tuple[Variable, int]]],
        deadline: Deadline,
    ) -> Iterable[tuple[Variable, int]]:
        before: Variable | None = None
        for b in range(stock.bars):
            deadline.left()
            used = self._variable(f"used{name}_{b}", 1)
            held = [(used, -stock.room)]
            for i, weight in enumerate(cutting.weights):
                most = min(stock.room // weight, cutting.needed[i])
                if most:
                    pieces = self._variable(f"x{name}_{b}_{i}", most)
                    held.append((pieces, weight))
                    covered[i].append((pieces, 1))
            self._at_most(held, 0)
            if before is not None:
                self._at_least([(before, 1), (used, -1)], 0)
            before = used
            yield used, stock.cents

    def _write_kits(
        self,
        g: int,
        wanted: PieceSetWanted,
        covered: list[list[tuple[Variable, int]]],
        filled: list[list[tuple[Variable, int]]],
    ) -> Iterable[tuple[Variable, int]]:
        served = []
        for k, kit in enumerate(wanted.kits):
            taken = self._variable(f"kit{g}_{k}", wanted.quantity)
            served.append((taken, 1))
            for i, count in wanted.pieces:
                covered[i].append((taken, count))
            if kit.pool is not None:
                filled[kit.pool].append((taken, kit.fasteners))
            yield taken, kit.cents
        if served:
            self._at_most(served, wanted.quantity)
