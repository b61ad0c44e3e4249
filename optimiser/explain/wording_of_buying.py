"""The sentences on the terms of buying: registered with `wording.sentence` on import."""

from optimiser.domain.buying import BreakKind, CostRate, FreightBasis
from optimiser.domain.buying_reasons import (
    BreakReached,
    CutsCharged,
    DiscountReached,
    DropsKept,
    FastenersOnHandUsed,
    LeastValueReached,
    OffcutUsed,
    PiecesSpliced,
    SetSubstituted,
    ShipmentPriced,
    StandardKitsTrimmed,
)
from optimiser.domain.kept_drops import credit_drop
from optimiser.domain.phrases import write_count
from optimiser.domain.shipment import Shipment
from optimiser.explain.wording import fasteners_named, for_openings, money, sentence
from optimiser.units.lengths import LengthUnit, format_length
from optimiser.units.masses import format_mass
from optimiser.units.money import format_money


@sentence.register
def _(reason: BreakReached, unit: LengthUnit, currency: str) -> str:
    tiers = " + ".join(
        f"{units:,} at {format_money(price, currency)}" for units, price in reason.tiers
    )
    how = (
        "every one at the price of the break reached"
        if reason.break_kind is BreakKind.ALL_UNITS
        else "each at the price of its own break"
    )
    less = "less" if reason.saved >= 0 else "more"
    return (
        f"{reason.sku}: {reason.quantity:,} bought, {how}: {tiers}; "
        f"{format_money(abs(reason.saved), currency)} {less} than at "
        f"{format_money(reason.price, currency)} each."
    )


@sentence.register
def _(reason: DiscountReached, unit: LengthUnit, currency: str) -> str:
    prices = ", ".join(
        f"{format_money(reduced, currency)} instead of {format_money(full, currency)}"
        for full, reduced in reason.prices
    )
    return (
        f"Kit {reason.sku}: {write_count(reason.kits, 'kit')} of all sizes together, "
        f"{reason.from_quantity:,} or more, so each costs {reason.percent.normalize():f} % less: "
        f"{prices}."
    )


@sentence.register
def _(reason: LeastValueReached, unit: LengthUnit, currency: str) -> str:
    return (
        f"{reason.sku}: {reason.quantity:,} bought for {format_money(reason.value, currency)}; it "
        f"is sold from {format_money(reason.least_value, currency)} on."
    )


@sentence.register
def _(reason: ShipmentPriced, unit: LengthUnit, currency: str) -> str:
    shipment = reason.shipment
    parts = [f"goods {format_money(shipment.goods, currency)}"]
    if shipment.basis is not None and not shipment.free:
        parts.append(
            f"freight {format_money(shipment.charge, currency)}{_tier(shipment, unit, currency)}"
        )
    parts.extend(
        f"{format_money(paid, currency)} for anything longer than {format_length(limit, unit)}"
        for limit, paid in shipment.over_length
    )
    total = "" if len(parts) == 1 else f" = {format_money(shipment.total, currency)}"
    text = f"{shipment.supplier}: {' + '.join(parts)}{total or ', and no freight'}."
    if shipment.free_from is not None:
        threshold = format_money(shipment.free_from, currency)
        short = format_money(shipment.free_from - shipment.goods, currency)
        text += (
            f" Freight is free from {threshold} of goods on"
            f"{'.' if shipment.free else f': {short} short of it.'}"
        )
    if shipment.least_order:
        least = format_money(shipment.least_order, currency)
        text += f" The supplier takes orders from {least} of goods on."
    return text


def _tier(shipment: Shipment, unit: LengthUnit, currency: str) -> str:
    """Return what the charge is for: the weight or the value, and the tier that it reaches."""
    if shipment.tier_from is None:
        return ""
    if shipment.basis is FreightBasis.VALUE:
        start = money(shipment.tier_from, currency)
        return f" by value, the tier from {start} on" if shipment.tier_from else " by value"
    weight = "" if shipment.weight_g is None else f" for {format_mass(shipment.weight_g, unit)}"
    start = format_mass(shipment.tier_from, unit)
    return f"{weight}, the tier from {start} on" if shipment.tier_from else weight


@sentence.register
def _(reason: OffcutUsed, unit: LengthUnit, currency: str) -> str:
    return (
        f"From the rack: {reason.used:,} of {reason.there:,} of offcut {reason.id}, "
        f"{format_length(reason.length_nm, unit)} of {reason.material}, counted at "
        f"{format_money(reason.value, currency)} each, {format_money(reason.amount, currency)}."
    )


@sentence.register
def _(reason: FastenersOnHandUsed, unit: LengthUnit, currency: str) -> str:
    return (
        f"{fasteners_named(reason.fastener, reason.finish)}: {reason.used:,} of {reason.there:,} "
        f"on hand are used, counted at {format_money(reason.value, currency)} each, "
        f"{format_money(reason.amount, currency)}."
    )


@sentence.register
def _(reason: DropsKept, unit: LengthUnit, currency: str) -> str:
    kept = ", ".join(
        f"{times:,} × {format_length(length_nm, unit)} at {format_money(credit, currency)}"
        for length_nm, times, credit in reason.lengths
    )
    rate = CostRate(price=reason.rate, per_nm=reason.per_nm)
    less = any(
        credit < credit_drop(length_nm, reason.least_nm, rate, currency)
        for length_nm, _, credit in reason.lengths
    )
    own = " The rest of an offcut earns no more than its own value for its length." if less else ""
    return (
        f"Kept for the next time, from {format_length(reason.least_nm, unit)} on, at "
        f"{format_money(reason.rate, currency)} per {format_length(reason.per_nm, unit)}, each "
        f"credit rounded down: {reason.material}, {kept} = {format_money(reason.amount, currency)}."
        f"{own}"
    )


@sentence.register
def _(reason: CutsCharged, unit: LengthUnit, currency: str) -> str:
    return (
        f"Cutting: {write_count(reason.pieces, 'piece')} at "
        f"{format_money(reason.charge, currency)} = {format_money(reason.amount, currency)}."
    )


@sentence.register
def _(reason: PiecesSpliced, unit: LengthUnit, currency: str) -> str:
    longer, shorter = reason.segments_nm
    spliced = "are spliced, each of" if reason.pieces > 1 else "is spliced, of"
    return (
        f"{for_openings(reason)}{write_count(reason.pieces, 'piece')} of "
        f"{format_length(reason.length_nm, unit)} of {reason.material} {spliced} "
        f"{format_length(longer, unit)} + {format_length(shorter, unit)}, at "
        f"{format_money(reason.cost, currency)} a splice = "
        f"{format_money(reason.amount, currency)}."
    )


@sentence.register
def _(reason: SetSubstituted, unit: LengthUnit, currency: str) -> str:
    weighed = (
        f"weighed at {format_money(reason.preference, currency)} each, "
        f"{format_money(reason.amount, currency)}, which nobody is paid"
        if reason.preference
        else "which you rate as no worse"
    )
    return (
        f"{for_openings(reason)}{write_count(reason.openings, 'opening')} in {reason.instead} "
        f"instead of {reason.wanted}, {weighed}."
    )


@sentence.register
def _(reason: StandardKitsTrimmed, unit: LengthUnit, currency: str) -> str:
    held = " + ".join(f"{n:,} × {format_length(nm, unit)}" for nm, n in reason.lengths)
    spare = reason.bought - reason.used
    left = f"; {spare:,} left whole" if spare else ""
    return (
        f"{for_openings(reason)}standard kit {reason.sku}, {held}, for "
        f"{write_count(reason.used, 'opening')}, trimmed on site by "
        f"{format_length(reason.trimmed_nm, unit)} in all{left}."
    )
