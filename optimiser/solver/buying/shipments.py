"""Shipments: least order, freight by tiers, free freight, surcharges for over-length.

Variables, for each supplier s with such terms
    ship_s    whether anything is bought of s
    tier_sτ   whether the shipment lies in tier τ
    free_s    whether its goods reach the threshold of free freight
    long_so   whether it holds anything longer than limit o

Constraints (amount_s is the goods' value or weight, by which the tiers count)
    [any s]     y_k ≤ upper_k ship_s              for each column k bought of s
    [least s]   goods_s ≥ least_order_s ship_s
    [tiers s]   Σ_τ tier_sτ + free_s = ship_s
    [from s]    amount_s ≥ Σ_τ from_τ tier_sτ                (only where a later tier costs less)
    [to s]      amount_s < the next tier's beginning (one measure below; no end for the last)
    [free s]    goods_s ≥ free_from_s free_s
    [long so]   y_k ≤ upper_k long_so             for each column k with anything so long
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import gcd, lcm

from optimiser.domain.buying import Freight, FreightBasis
from optimiser.domain.catalogue import Catalogue
from optimiser.solver.buying.articles import Reach
from optimiser.solver.buying.block import Block, Shipped


def reach_of(catalogue: Catalogue) -> Reach:
    """Return the thresholds for which more than the need may be bought of a supplier."""
    goods, weight_g = Fraction(catalogue.least_order), Fraction(0)
    freight = catalogue.freight
    if freight is None:
        return Reach(goods=goods)
    if freight.free_from is not None:
        goods = max(goods, Fraction(freight.free_from))
    for lower, higher in zip(freight.tiers, freight.tiers[1:], strict=False):
        if higher.charge < lower.charge:
            if freight.basis is FreightBasis.VALUE:
                goods = max(goods, higher.from_amount)
            else:
                weight_g = max(weight_g, higher.from_amount)
    return Reach(goods=goods, weight_g=weight_g)


def write_shipments(block: Block, catalogues: Sequence[Catalogue]) -> None:
    """Write the terms of each supplier over the columns that are bought of it."""
    for catalogue in catalogues:
        bought = [item for item in block.shipped if item.supplier == catalogue.supplier]
        if bought and (catalogue.freight is not None or catalogue.least_order > 0):
            _write_supplier(block, catalogue, bought)


def _write_supplier(block: Block, catalogue: Catalogue, bought: list[Shipped]) -> None:
    supplier = catalogue.supplier
    ship = block.column(f"shipment of {supplier}", Decimal(0), 1, decisive=True)
    for column in dict.fromkeys(item.column for item in bought):
        block.row(f"any of {supplier}", [(column, 1), (ship, -block.upper(column))], upper=0)
    goods = [(item.column, Fraction(item.goods)) for item in bought]
    if catalogue.least_order > 0:
        least = Fraction(catalogue.least_order)
        block.money_row(f"least order of {supplier}", [*goods, (ship, -least)])
    if catalogue.freight is not None:
        _write_freight(block, supplier, catalogue.freight, bought, ship)


def _write_freight(
    block: Block, supplier: str, freight: Freight, bought: list[Shipped], ship: int
) -> None:
    for limit in freight.over_length:
        so_long = [item.column for item in bought if item.longest_nm > limit.longer_than_nm]
        if not so_long:
            continue
        name = f"over {limit.longer_than_nm} nm of {supplier}"
        surcharge = block.column(name, limit.surcharge, 1, decisive=True)
        for column in so_long:
            block.row(name, [(column, 1), (surcharge, -block.upper(column))], upper=0)
    tiers = [
        block.column(f"tier {n} of {supplier}", tier.charge, 1, decisive=True)
        for n, tier in enumerate(freight.tiers)
    ]
    chosen = [(tier, 1) for tier in tiers]
    goods = [(item.column, Fraction(item.goods)) for item in bought]
    free: int | None = None
    if freight.free_from is not None:
        free = block.column(f"free freight of {supplier}", Decimal(0), 1, decisive=True)
        chosen.append((free, 1))
        from_goods = Fraction(freight.free_from)
        block.money_row(f"free freight of {supplier}", [*goods, (free, -from_goods)])
    block.row(f"tiers of {supplier}", [*chosen, (ship, -1)], lower=0, upper=0)
    amount = (
        goods
        if freight.basis is FreightBasis.VALUE
        else [(item.column, item.weight_g) for item in bought]
    )
    begins = [tier.from_amount for tier in freight.tiers]
    measure = _common_measure([coefficient for _, coefficient in amount] + begins)
    most = sum((max(c, Fraction(0)) * block.upper(k) for k, c in amount), Fraction(0))
    ends = [begin - measure for begin in begins[1:]] + [most]
    charges = [tier.charge for tier in freight.tiers]
    if charges != sorted(charges):
        # Where charges only rise, no plan gains by a tier above its own.
        block.money_row(
            f"tiers of {supplier}, from",
            [*amount, *((tier, -begin) for tier, begin in zip(tiers, begins, strict=True))],
        )
    above = [(tier, -min(end, most)) for tier, end in zip(tiers, ends, strict=True)]
    if free is not None:
        above.append((free, -most))
    block.money_row(f"tiers of {supplier}, to", [*amount, *above], upper=True)


def _common_measure(amounts: Sequence[Fraction]) -> Fraction:
    """Return the largest measure of which every amount is a whole number."""
    positive = [abs(amount) for amount in amounts if amount]
    if not positive:
        return Fraction(1)
    denominator = lcm(*(amount.denominator for amount in positive))
    return Fraction(gcd(*(int(amount * denominator) for amount in positive)), denominator)
