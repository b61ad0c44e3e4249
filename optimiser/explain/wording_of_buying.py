"""The sentences on the terms of buying: registered with `wording.sentence` on import."""

from optimiser.domain.buying import BreakKind, FreightBasis
from optimiser.domain.buying_reasons import (
    BreakReached,
    CutsCharged,
    DiscountReached,
    DropsKept,
    FastenersOnHandUsed,
    OffcutUsed,
    PiecesSpliced,
    SetSubstituted,
    ShipmentPriced,
    StandardKitsTrimmed,
)
from optimiser.domain.phrases import write_count
from optimiser.explain.wording import fasteners_named, for_openings, number, sentence
from optimiser.units.lengths import LengthUnit, format_length
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
    return (
        f"Kit {reason.sku}: {write_count(reason.kits, 'kit')} of all sizes together, "
        f"{reason.from_quantity:,} or more, so each costs {reason.percent.normalize():f} % less."
    )


@sentence.register
def _(reason: ShipmentPriced, unit: LengthUnit, currency: str) -> str:
    parts = [f"goods {format_money(reason.goods, currency)}"]
    if reason.free_from is not None:
        parts.append(f"freight free from {format_money(reason.free_from, currency)}")
    elif reason.basis is FreightBasis.WEIGHT and reason.weight_g is not None:
        kilograms = number(reason.weight_g / 1000)
        parts.append(f"freight {format_money(reason.charge, currency)} for {kilograms} kg")
    elif reason.basis is FreightBasis.VALUE:
        parts.append(f"freight {format_money(reason.charge, currency)} by value")
    parts.extend(
        f"{format_money(paid, currency)} for anything longer than {format_length(limit, unit)}"
        for limit, paid in reason.over_length
    )
    least = (
        f" The supplier takes orders from {format_money(reason.least_order, currency)} of goods on."
        if reason.least_order
        else ""
    )
    return (
        f"{reason.supplier}: {' + '.join(parts)} = {format_money(reason.total, currency)}.{least}"
    )


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
    return (
        f"Kept for the next time, from {format_length(reason.least_nm, unit)} on, at "
        f"{format_money(reason.rate, currency)} per {format_length(reason.per_nm, unit)}, each "
        f"credit rounded down: {reason.material}, {kept} = {format_money(reason.amount, currency)}."
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
    return (
        f"Spliced: {write_count(reason.pieces, 'piece')} of "
        f"{format_length(reason.length_nm, unit)} of {reason.material}, each of "
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
