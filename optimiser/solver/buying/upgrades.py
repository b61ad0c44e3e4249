"""Upgrades: bare kits that turn into kits with fasteners for the same extra price.

Which kits of a class are upgraded does not change the cost: one column for the class keeps such
ties out of the search.

Variables
    up_c      kits of class c that are upgraded   0 ≤ up_c ≤ Σ_g n_g

Constraints
    [class c]  up_c ≤ Σ_{g of c} kit_g,bare
"""

from dataclasses import dataclass, field
from decimal import Decimal

from optimiser.domain.order import Policy
from optimiser.domain.takeoff import FastenerPool
from optimiser.solver.buying.block import Block, Shipped
from optimiser.solver.offers import Upgrade


@dataclass(frozen=True, slots=True, kw_only=True)
class UpgradeClass:
    """Kits that one column upgrades: `members` are (set, bare SKU, SKU with fasteners).

    Each of them brings `brought` fasteners at least to the pool.
    """

    column: int
    members: tuple[tuple[int, str, str], ...]
    pool: FastenerPool
    brought: int


@dataclass(slots=True, kw_only=True)
class UpgradeWriter:
    """Gathers upgrades by class and writes them into a block."""

    block: Block
    policy: Policy
    _members: dict[
        tuple[FastenerPool, Decimal, int, str], list[tuple[int, tuple[int, str, str]]]
    ] = field(default_factory=dict)

    def add(self, g: int, bare: int, upgrade: Upgrade, supplier: str) -> None:
        """Take up an upgrade of the bare kit that column `bare` buys for set `g`."""
        pool = upgrade.offer.pool(self.policy)
        if pool is None:
            return
        key = (pool, upgrade.extra, upgrade.offer.quote.fasteners_low, supplier)
        member = (g, upgrade.bare, upgrade.offer.kit.sku)
        self._members.setdefault(key, []).append((bare, member))

    def write(self) -> tuple[UpgradeClass, ...]:
        """Write all classes, in a fixed order."""
        classes = []
        for key in sorted(self._members):
            pool, extra, brought, supplier = key
            members = self._members[key]
            upper = sum(self.block.upper(bare) for bare, _ in members)
            column = self.block.column(f"upgrades to {brought} of {pool} at {extra}", extra, upper)
            self.block.shipped.append(Shipped(supplier=supplier, column=column, goods=extra))
            terms = [(column, 1), *((bare, -1) for bare, _ in members)]
            self.block.row(f"class of {brought} of {pool} at {extra}", terms, upper=0)
            classes.append(
                UpgradeClass(
                    column=column,
                    members=tuple(member for _, member in members),
                    pool=pool,
                    brought=brought,
                )
            )
        return tuple(classes)
