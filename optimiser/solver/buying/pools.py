"""Fasteners: kits, standard kits, loose packs and what is on hand fill each pool.

Variables
    units_f   loose packs f bought (see `articles.py`)
    hand_h    fasteners on hand that are used, at their value   0 ≤ hand_h ≤ count_h

Constraints
    [pool p]  Σ low_go kit_go + Σ low_c up_c + Σ low_t units_t + Σ low_f units_f + Σ hand_h
              ≥ needed_p
              (divided by the greatest common divisor of the left side, right side rounded up)
"""

from dataclasses import dataclass, field
from math import gcd

from optimiser.domain.order import Order
from optimiser.domain.takeoff import Demand, FastenerNeed, pool_of
from optimiser.solver.buying.articles import ArticleWriter, Bought
from optimiser.solver.buying.block import Block
from optimiser.solver.buying.sets import Services
from optimiser.solver.program import ProgramInfeasible
from optimiser.units.counts import ceil_div


@dataclass(slots=True, kw_only=True)
class Fasteners:
    """Columns: loose packs by SKU, and what is used from the rack by (fastener, finish)."""

    packs: dict[str, Bought] = field(default_factory=dict)
    on_hand: dict[tuple[str, str | None], int] = field(default_factory=dict)


@dataclass(slots=True, kw_only=True)
class PoolWriter:
    """Writes the pools of an order into a block."""

    block: Block
    articles: ArticleWriter
    order: Order
    services: Services
    standard: dict[str, Bought]
    supplier_of: dict[str, str]

    def write(self, demand: Demand) -> Fasteners:
        """Write every pool that needs anything."""
        fasteners = Fasteners()
        for need in demand.fasteners:
            if need.needed > 0:
                self._write_pool(need, fasteners)
        return fasteners

    def _write_pool(self, need: FastenerNeed, fasteners: Fasteners) -> None:
        pool, catalogue = need.pool, self.order.catalogue
        terms: list[tuple[int, int]] = []
        kits = {kit.sku: kit for kit in catalogue.kits}
        for (g, sku), columns in self.services.kits.items():
            kit, low = kits[sku], self.services.quotes[g, sku].fasteners_low
            if kit.fasteners is None or not low:
                continue
            if pool_of(kit.fasteners.fastener, kit.material.finish, self.order.policy) == pool:
                terms.extend((column, low) for column in columns)
        terms.extend(
            (upgrades.column, upgrades.brought)
            for upgrades in self.services.upgrades
            if upgrades.pool == pool
        )
        for standard in catalogue.standard_kits:
            held = standard.fasteners
            if held is None or standard.sku not in self.standard:
                continue
            low = held.packs * held.contents.low_count
            if low and pool_of(held.fastener, standard.material.finish, self.order.policy) == pool:
                bought = self.standard[standard.sku]
                terms.extend((column, low * units) for column, units in bought.units)
        for pack in sorted(catalogue.fastener_packs, key=lambda pack: pack.sku):
            low = pack.contents.low_count
            if not low or pool_of(pack.fastener, pack.finish, self.order.policy) != pool:
                continue
            fasteners.packs[pack.sku] = self.articles.write(
                pack,
                sku=pack.sku,
                supplier=self.supplier_of[pack.sku],
                price=pack.price,
                needed=ceil_div(need.needed, low),
            )
            terms.extend((k, low * units) for k, units in fasteners.packs[pack.sku].units)
        for on_hand in self.order.rack.fasteners:
            if (
                on_hand.count
                and pool_of(on_hand.fastener, on_hand.finish, self.order.policy) == pool
            ):
                column = self.block.column(
                    f"{pool} on hand, {on_hand.finish}",
                    on_hand.value,
                    min(on_hand.count, need.needed),
                )
                fasteners.on_hand[on_hand.fastener, on_hand.finish] = column
                terms.append((column, 1))
        if not terms:
            raise ProgramInfeasible
        # Every supply is a multiple of this measure, so the need may be rounded up to one: the
        # relaxation cannot buy a part of the last pack.
        measure = gcd(*(each for _, each in terms))
        self.block.row(
            f"fasteners {pool}",
            ((column, each // measure) for column, each in terms),
            lower=ceil_div(need.needed, measure),
        )
