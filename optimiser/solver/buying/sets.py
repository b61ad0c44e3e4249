"""Piece sets: which openings get a made-to-measure kit, a standard kit, or are cut.

Variables, for each set g of n_g openings
    kit_gok   openings served by kit o at discount level k
    std_gt    openings served by standard kit t, trimmed on site
    cut_ga    openings cut in material a that may stand in for the set's own
    on_ok     whether kit o is bought at discount level k (0 or 1)
    up_c      kits of class c that are upgraded (see `upgrades.py`)
    The rest of a set that can be cut in its own material is cut so.

Constraints
    [set g]      Σ kit_gok + Σ std_gt + Σ cut_ga ≤ n_g   (= n_g where there can be no rest; a
                 limit of the column where there is one)
    [kits g]     Σ kit_gok + Σ std_gt = k_g              where a re-solve says so
    [level ok]   from_ok on_ok ≤ Σ_g kit_gok ≤ to_ok on_ok,  Σ_k on_ok ≤ 1
    [value ok]   Σ_g price_gok kit_gok ≥ least_value_o on_ok

A material that stands in for another costs its preference for each opening.
"""

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.buying import KitDiscount, WeightRate
from optimiser.domain.catalogue import Kit, Material, StandardKit
from optimiser.domain.decision import Restriction
from optimiser.domain.kit_offer import KitQuote, discount_kit, quote_kit, serves_from_standard
from optimiser.domain.order import Order
from optimiser.domain.takeoff import Demand, SetDemand
from optimiser.solver.buying.block import Block, Shipped
from optimiser.solver.buying.upgrades import UpgradeClass, UpgradeWriter
from optimiser.solver.offers import Offer, SetOffers, sift_offers
from optimiser.solver.program import ProgramInfeasible


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """The openings of a set that are cut in its own material: `most`, less `others`' values.

    `most` is the quantity, and `kits` the openings that are served by kits in any case.
    """

    quantity: int
    kits: int
    others: tuple[int, ...]


@dataclass(slots=True, kw_only=True)
class Services:
    """What serves each set. Every list pairs columns with what they stand for.

    `kits` maps (set, SKU) to the columns of its levels, `quotes` to the quote; `standard` maps
    (set, SKU) to a column, `cuts` (set, stand-in material) to a column. `rests` maps a set to
    the openings that nothing else serves, `upgrades` holds the classes of kits with fasteners.
    """

    kits: dict[tuple[int, str], list[int]] = field(default_factory=dict)
    quotes: dict[tuple[int, str], KitQuote] = field(default_factory=dict)
    standard: dict[tuple[int, str], int] = field(default_factory=dict)
    cuts: dict[tuple[int, Material], int] = field(default_factory=dict)
    rests: dict[int, Rest] = field(default_factory=dict)
    upgrades: tuple[UpgradeClass, ...] = ()


@dataclass(frozen=True, slots=True)
class _KitLevel:
    least: int
    most: int
    percent: Decimal


class SetWriter:
    """Writes the services of every set into a block.

    `cuttable` says whether a set can be cut in a material, `rewarding` names the suppliers of
    whom it may pay to buy dearer goods.
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
        rewarding: set[str],
    ) -> None:
        self.block, self.order, self.demand = block, order, demand
        self.restriction, self.supplier_of, self.cuttable = restriction, supplier_of, cuttable
        self.rewarding = rewarding
        self.services = Services()
        self.upgrades = UpgradeWriter(block=block, policy=order.policy)
        self.kits = sorted(order.catalogue.kits, key=lambda kit: kit.sku)
        self._prices: dict[int, Fraction] = {}
        self._levels: dict[str, list[tuple[_KitLevel, list[int]]]] = {}
        openings = sum(wanted.quantity for wanted in demand.sets)
        for kit in self.kits:
            levels = kit_levels(kit, openings)
            self._levels[kit.sku] = [(_KitLevel(*level), []) for level in levels]

    def write(self) -> Services:
        """Write every set, and then the levels of the kits over all sets."""
        for g, wanted in enumerate(self.demand.sets):
            self._write_set(g, wanted)
        self.services.upgrades = self.upgrades.write()
        for kit in self.kits:
            self._write_levels(kit)
        return self.services

    def _write_set(self, g: int, wanted: SetDemand) -> None:
        own = wanted.piece_set.material
        rules = self.order.policy.substitutions
        others = sorted((rule.instead, rule.preference) for rule in rules if rule.wanted == own)
        fixed = self.restriction.kits_per_set
        most = wanted.quantity if fixed is None else fixed[g]
        kits: list[int] = []
        cuts: list[int] = []
        for material, preference in [(own, Decimal(0)), *others]:
            if most and self.order.policy.allow_kits:
                kits.extend(self._kits(g, wanted, material, preference, most))
            if material != own and (g, material) in self.cuttable:
                name = f"cut set {g} in {material}"
                cuts.append(self.block.column(name, preference, wanted.quantity))
                self.services.cuts[g, material] = cuts[-1]
        whole = (g, own) not in self.cuttable
        if not whole:
            least = 0 if fixed is None else fixed[g]
            rest = Rest(quantity=wanted.quantity, kits=least, others=(*kits, *cuts))
            self.services.rests[g] = rest
        if cuts and fixed is not None:
            self._limit(f"kits of set {g}", kits, most, most)
        elif fixed is not None:
            self._limit(f"set {g}", kits, most, most)
            if whole and most < wanted.quantity:
                raise ProgramInfeasible
            return
        least = wanted.quantity if whole else 0
        self._limit(f"set {g}", [*kits, *cuts], least, wanted.quantity)

    def _limit(self, name: str, columns: list[int], lower: int, upper: int) -> None:
        if len(columns) == 1:
            self.block.limit(columns[0], lower, min(upper, self.block.upper(columns[0])))
        elif columns:
            self.block.row(name, [(column, 1) for column in columns], lower=lower, upper=upper)
        if lower > sum(self.block.upper(column) for column in columns):
            raise ProgramInfeasible

    def _kits(
        self, g: int, wanted: SetDemand, material: Material, preference: Decimal, most: int
    ) -> list[int]:
        columns: list[int] = []
        alike: dict[tuple[str, WeightRate | None], list[Offer]] = {}
        for kit in self.kits:
            longest_nm = wanted.piece_set.lengths[0][0]
            fits = kit.longest_piece_nm is None or longest_nm <= kit.longest_piece_nm
            if kit.material != material or not fits or not self._allowed(kit.fasteners is None):
                continue
            quote = quote_kit(kit, wanted.piece_set, self.order.catalogue.currency)
            offer = Offer(kit=kit, quote=quote)
            if self._has_levels(kit):
                columns.extend(self._kit(g, wanted, offer, preference, most))
            else:
                alike.setdefault((self.supplier_of[kit.sku], kit.weight), []).append(offer)
        for (supplier, _), offers in alike.items():
            sifted = sift_offers(offers)
            left_out = len(offers) - len(sifted.kept) - (sifted.upgrade is not None)
            if left_out and supplier in self.rewarding:
                sifted = SetOffers(kept=tuple(offers))
            for offer in sifted.kept:
                columns.extend(self._kit(g, wanted, offer, preference, most))
            if sifted.upgrade is not None:
                bare = self.services.kits[g, sifted.upgrade.bare][0]
                self.upgrades.add(g, bare, sifted.upgrade, supplier)
        for standard in sorted(self.order.catalogue.standard_kits, key=lambda kit: kit.sku):
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

    def _has_levels(self, kit: Kit) -> bool:
        levels = self._levels[kit.sku]
        limited = kit.available is not None or kit.least_value > 0
        return len(levels) != 1 or levels[0][0].least > 1 or limited

    def _kit(
        self, g: int, wanted: SetDemand, offer: Offer, preference: Decimal, most: int
    ) -> list[int]:
        kit, pieces = offer.kit, wanted.piece_set
        weight_g = Fraction(0)
        if kit.weight is not None:
            weight_g = kit.weight.grams * pieces.running_length_nm / kit.weight.per_nm
        columns = []
        for number, (level, members) in enumerate(self._levels[kit.sku]):
            price = discount_kit(
                offer.quote.unit_price, level.percent, self.order.catalogue.currency
            )
            name = f"kit {kit.sku} for set {g}, level {number}"
            column = self.block.column(name, price + preference, min(most, level.most))
            members.append(column)
            self._prices[column] = Fraction(price)
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
        self.services.quotes[g, kit.sku] = offer.quote
        return columns

    def _write_levels(self, kit: Kit) -> None:
        levels = [(level, members) for level, members in self._levels[kit.sku] if members]
        if not levels or not self._has_levels(kit):
            return
        switches = []
        for number, (level, members) in enumerate(levels):
            name = f"level {number} of kit {kit.sku}"
            on = self.block.column(name, Decimal(0), 1, decisive=True)
            terms = [(column, 1) for column in members]
            self.block.row(f"{name}, least", [*terms, (on, -level.least)], lower=0)
            self.block.row(f"{name}, most", [*terms, (on, -level.most)], upper=0)
            if kit.least_value > 0:
                priced = [(column, self._prices[column]) for column in members]
                least = Fraction(kit.least_value)
                self.block.money_row(f"{name}, least value", [*priced, (on, -least)])
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
