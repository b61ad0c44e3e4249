"""Piece sets: which openings get a made-to-measure kit, a standard kit, or are cut.

Variables, for each set g of n_g openings
    kit_gok   openings served by kit o at discount level k
    std_gt    openings served by standard kit t, trimmed on site
    cut_ga    openings cut in material a: the set's own, or one that may stand in for it
    on_ok     whether kit o is bought at discount level k (0 or 1)

Constraints
    [set g]      Σ kit_gok + Σ std_gt + Σ cut_ga = n_g
    [kits g]     Σ kit_gok + Σ std_gt = k_g          where a re-solve says so
    [level ok]   from_ok on_ok ≤ Σ_g kit_gok ≤ to_ok on_ok,  Σ_k on_ok ≤ 1

A material that stands in for another costs its preference for each opening. A set that nothing
but cutting in its own material can serve has no columns.
"""

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.buying import KitDiscount
from optimiser.domain.catalogue import Kit, Material, StandardKit
from optimiser.domain.decision import Restriction
from optimiser.domain.kit_offer import KitQuote, discount_kit, quote_kit, serves_from_standard
from optimiser.domain.order import Order
from optimiser.domain.takeoff import Demand, SetDemand
from optimiser.solver.buying.block import Block, Shipped
from optimiser.solver.program import ProgramInfeasible


@dataclass(slots=True, kw_only=True)
class Services:
    """What serves each set. Every list pairs columns with what they stand for.

    `kits` maps (set, SKU) to the columns of its levels, `quotes` to the quote; `standard` maps
    (set, SKU) to a column; `cuts` maps (set, material) to a column and `fixed_cuts` a set to the
    openings that are cut in its own material whatever else is decided.
    """

    kits: dict[tuple[int, str], list[int]] = field(default_factory=dict)
    quotes: dict[tuple[int, str], KitQuote] = field(default_factory=dict)
    standard: dict[tuple[int, str], int] = field(default_factory=dict)
    cuts: dict[tuple[int, Material], int] = field(default_factory=dict)
    fixed_cuts: dict[int, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _KitLevel:
    least: int
    most: int
    percent: Decimal


class SetWriter:
    """Writes the services of every set into a block.

    `cuttable` says whether a set can be cut in a material.
    """

    def __init__(
        self,
        *,
        block: Block,
        order: Order,
        demand: Demand,
        restriction: Restriction,
        supplier_of: dict[str, str],
        cuttable: set[tuple[int, Material]],
    ) -> None:
        self.block, self.order, self.demand = block, order, demand
        self.restriction, self.supplier_of, self.cuttable = restriction, supplier_of, cuttable
        self.services = Services()
        self._levels: dict[str, list[tuple[_KitLevel, list[int]]]] = {}
        openings = sum(wanted.quantity for wanted in demand.sets)
        for kit in order.catalogue.kits:
            levels = kit_levels(kit, openings)
            self._levels[kit.sku] = [(_KitLevel(*level), []) for level in levels]

    def write(self) -> Services:
        """Write every set, and then the levels of the kits over all sets."""
        for g, wanted in enumerate(self.demand.sets):
            self._write_set(g, wanted)
        for kit in sorted(self.order.catalogue.kits, key=lambda kit: kit.sku):
            self._write_levels(kit)
        return self.services

    def _write_set(self, g: int, wanted: SetDemand) -> None:
        own = wanted.piece_set.material
        rules = self.order.policy.substitutions
        others = sorted((rule.instead, rule.preference) for rule in rules if rule.wanted == own)
        stand_ins = [(own, Decimal(0)), *others]
        fixed = self.restriction.kits_per_set
        most_kits = wanted.quantity if fixed is None else fixed[g]
        kits: list[int] = []
        cuts: list[tuple[Material, Decimal]] = []
        for material, preference in stand_ins:
            if most_kits and self.order.policy.allow_kits:
                kits.extend(self._kits(g, wanted, material, preference, most_kits))
            if (g, material) in self.cuttable:
                cuts.append((material, preference))
        if not kits and [material for material, _ in cuts] == [own] and not (fixed and fixed[g]):
            self.services.fixed_cuts[g] = wanted.quantity
            return
        terms = [(column, 1) for column in kits]
        if fixed is not None:
            self.block.row(f"kits of set {g}", terms, lower=fixed[g], upper=fixed[g])
        for material, preference in cuts:
            column = self.block.column(f"cut set {g} in {material}", preference, wanted.quantity)
            self.services.cuts[g, material] = column
            terms.append((column, 1))
        if not terms:
            raise ProgramInfeasible
        self.block.row(f"set {g}", terms, lower=wanted.quantity, upper=wanted.quantity)

    def _kits(
        self, g: int, wanted: SetDemand, material: Material, preference: Decimal, most: int
    ) -> list[int]:
        catalogue, columns = self.order.catalogue, []
        for kit in sorted(catalogue.kits, key=lambda kit: kit.sku):
            longest_nm = wanted.piece_set.lengths[0][0]
            fits = kit.longest_piece_nm is None or longest_nm <= kit.longest_piece_nm
            if kit.material == material and fits and self._allowed(kit.fasteners is None):
                columns.extend(self._kit(g, wanted, kit, preference, most))
        for standard in sorted(catalogue.standard_kits, key=lambda kit: kit.sku):
            if (
                standard.material == material
                and self._allowed(standard.fasteners is None)
                and serves_from_standard(standard, wanted.piece_set)
            ):
                name = f"standard kit {standard.sku} for set {g}"
                column = self.block.column(name, preference, most)
                self.services.standard[g, standard.sku] = column
                columns.append(column)
        return columns

    def _allowed(self, bare: bool) -> bool:
        return self.restriction.bare_kits if bare else self.restriction.kits_with_fasteners

    def _kit(
        self, g: int, wanted: SetDemand, kit: Kit, preference: Decimal, most: int
    ) -> list[int]:
        pieces, currency = wanted.piece_set, self.order.catalogue.currency
        quote = quote_kit(kit, pieces, currency)
        weight_g = Fraction(0)
        if kit.weight is not None:
            weight_g = kit.weight.grams * pieces.running_length_nm / kit.weight.per_nm
        columns = []
        for number, (level, members) in enumerate(self._levels[kit.sku]):
            price = discount_kit(quote.unit_price, level.percent, currency)
            name = f"kit {kit.sku} for set {g}, level {number}"
            column = self.block.column(name, price + preference, min(most, level.most))
            members.append(column)
            columns.append(column)
            self.block.shipped.append(
                Shipped(
                    supplier=self.supplier_of[kit.sku],
                    column=column,
                    goods=price,
                    weight_g=weight_g,
                    longest_nm=pieces.lengths[0][0],
                )
            )
        self.services.kits[g, kit.sku] = columns
        self.services.quotes[g, kit.sku] = quote
        return columns

    def _write_levels(self, kit: Kit) -> None:
        levels = [(level, members) for level, members in self._levels[kit.sku] if members]
        if len(levels) == 1 and levels[0][0].least <= 1 and kit.available is None:
            return
        switches = []
        for number, (level, members) in enumerate(levels):
            name = f"level {number} of kit {kit.sku}"
            on = self.block.column(name, Decimal(0), 1, decisive=True)
            terms = [(column, 1) for column in members]
            self.block.row(f"{name}, least", [*terms, (on, -level.least)], lower=0)
            self.block.row(f"{name}, most", [*terms, (on, -level.most)], upper=0)
            switches.append((on, 1))
        if len(switches) > 1:
            self.block.row(f"one level of kit {kit.sku}", switches, upper=1)


def kit_levels(kit: Kit, openings: int) -> list[tuple[int, int, Decimal]]:
    """Return (least, most, percent off) of each discount level that a quantity can lie in."""
    starts = [KitDiscount(from_quantity=1, percent=Decimal(0)), *kit.discounts]
    limit = openings if kit.available is None else min(openings, kit.available)
    levels = []
    for number, start in enumerate(starts):
        end = starts[number + 1].from_quantity - 1 if number + 1 < len(starts) else limit
        least, most = max(start.from_quantity, kit.least_quantity), min(end, limit)
        if most >= least:
            levels.append((least, most, start.percent))
    return levels


def standard_users(services: Services, kit: StandardKit) -> list[int]:
    """Return the columns that use a standard kit."""
    return [column for (_, sku), column in services.standard.items() if sku == kit.sku]
