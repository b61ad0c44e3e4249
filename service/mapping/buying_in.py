"""From the terms of buying of the wire to those of the domain."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import TypedDict

from optimiser.domain import buying as domain
from optimiser.units.lengths import LengthUnit, parse_length
from optimiser.units.masses import HEAVIEST_SHIPMENT_KG, parse_mass
from service.mapping.faults import FaultGatherer, Path
from service.wire import freight as wire_freight
from service.wire import sale_terms as wire
from service.wire.concessions import KeepDrops


class SaleTermsMembers(TypedDict):
    """The members of every article that is sold by the unit."""

    sold_in_multiples_of: int
    least_quantity: int
    least_value: Decimal
    available: int | None
    break_kind: domain.BreakKind
    breaks: tuple[domain.PriceBreak, ...]
    unit_weight_g: Fraction | None


def to_sale_terms(terms: wire.SaleTerms, path: Path, gatherer: FaultGatherer) -> SaleTermsMembers:
    """Return the terms as members of an article; what cannot be read is kept by the gatherer."""
    weight_g = None
    if terms.unit_weight is not None:
        weight_g = gatherer.read((*path, "unit_weight"), Fraction(1), parse_mass, terms.unit_weight)
    return SaleTermsMembers(
        sold_in_multiples_of=terms.sold_in_multiples_of,
        least_quantity=terms.least_quantity,
        least_value=Decimal(terms.least_value),
        available=terms.available,
        break_kind=terms.break_kind,
        breaks=tuple(
            domain.PriceBreak(from_quantity=step.from_quantity, price=Decimal(step.price))
            for step in terms.breaks
        ),
        unit_weight_g=weight_g,
    )


def to_discounts(discounts: Sequence[wire.KitDiscount]) -> tuple[domain.KitDiscount, ...]:
    """Return the discounts of a kit."""
    return tuple(
        domain.KitDiscount(from_quantity=step.from_quantity, percent=Decimal(step.percent))
        for step in discounts
    )


def to_weight_rate(
    weight: wire.WeightPerLength | None, unit: LengthUnit, path: Path, gatherer: FaultGatherer
) -> domain.WeightRate | None:
    """Return a weight for a length; what cannot be read is kept by the gatherer."""
    if weight is None:
        return None
    return domain.WeightRate(
        grams=gatherer.read((*path, "weight"), Fraction(1), parse_mass, weight.weight),
        per_nm=gatherer.read((*path, "length"), 1, parse_length, weight.length, unit),
    )


def to_freight(
    freight: wire_freight.FreightByWeight | wire_freight.FreightByValue,
    unit: LengthUnit,
    path: Path,
    gatherer: FaultGatherer,
) -> domain.Freight:
    """Return a supplier's freight; what cannot be read is kept by the gatherer."""
    if isinstance(freight, wire_freight.FreightByWeight):
        basis = domain.FreightBasis.WEIGHT
        tiers = tuple(
            domain.FreightTier(
                from_amount=gatherer.read(
                    (*path, "tiers", n, "from_weight"),
                    Fraction(0),
                    _parse_shipment_mass,
                    tier.from_weight,
                ),
                charge=Decimal(tier.charge),
            )
            for n, tier in enumerate(freight.tiers)
        )
    else:
        basis = domain.FreightBasis.VALUE
        tiers = tuple(
            domain.FreightTier(from_amount=Fraction(tier.from_value), charge=Decimal(tier.charge))
            for tier in freight.tiers
        )
    return domain.Freight(
        basis=basis,
        tiers=tiers,
        over_length=tuple(
            domain.OverLength(
                longer_than_nm=gatherer.read(
                    (*path, "over_length", n, "longer_than"),
                    1,
                    parse_length,
                    limit.longer_than,
                    unit,
                ),
                surcharge=Decimal(limit.surcharge),
            )
            for n, limit in enumerate(freight.over_length)
        ),
        free_from=None if freight.free_from is None else Decimal(freight.free_from),
    )


def _parse_shipment_mass(text: str) -> Fraction:
    return parse_mass(text, zero=True, heaviest_kg=HEAVIEST_SHIPMENT_KG)


def to_keep_drops(
    keep: KeepDrops | None, unit: LengthUnit, path: Path, gatherer: FaultGatherer
) -> domain.KeptDrops | None:
    """Return what is said of drops to keep; what cannot be read is kept by the gatherer."""
    if keep is None:
        return None
    return domain.KeptDrops(
        least_nm=gatherer.read((*path, "least_length"), 0, parse_length, keep.least_length, unit),
        credit=domain.CostRate(
            price=Decimal(keep.credit.price),
            per_nm=gatherer.read(
                (*path, "credit", "length"), 1, parse_length, keep.credit.length, unit
            ),
        ),
    )
