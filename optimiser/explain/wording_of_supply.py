"""The sentences on fasteners and kits: registered with `wording.sentence` on import."""

from fractions import Fraction

from optimiser.domain.catalogue import PackRounding
from optimiser.domain.order import FastenerCounting
from optimiser.domain.phrases import plural, write_count, write_marks
from optimiser.domain.reasons import (
    FastenersCounted,
    FastenersNeeded,
    FastenersSupplied,
    KitFastenersCounted,
    KitFastenersPriced,
    KitPriced,
    SetServed,
)
from optimiser.explain.wording import (
    fasteners_named,
    for_openings,
    money,
    rounded_up,
    sentence,
)
from optimiser.units.counts import ceil_div
from optimiser.units.lengths import LengthUnit, format_length
from optimiser.units.money import format_money
from optimiser.units.numerals import format_number

BY_RULE = {
    FastenerCounting.RUNNING_LENGTH: "by running length",
    FastenerCounting.PER_PIECE: "by piece",
}
ROUNDED = {
    PackRounding.UP: "rounded up to",
    PackRounding.DOWN: "rounded down to",
    PackRounding.NEAREST: "rounded to the nearest,",
}


@sentence.register
def _(reason: FastenersCounted, unit: LengthUnit, currency: str) -> str:
    exact = Fraction(reason.running_length_nm, reason.spacing_nm)
    spacing = format_length(reason.spacing_nm, unit)
    short = any(
        ceil_div(nm - 2 * reason.end_distance_nm, reason.spacing_nm) + 1 < reason.least_fasteners
        for nm, _, _ in reason.pieces
    )
    least = f", at least {reason.least_fasteners:,} each" if short else ""
    by_piece = " + ".join(f"{pieces:,} × {each:,}" for _, pieces, each in reason.pieces)
    return (
        f"{for_openings(reason)}{plural(reason.fastener)} per opening at {spacing}. "
        f"By running length: {format_length(reason.running_length_nm, unit)} ÷ {spacing} = "
        f"{rounded_up(exact, reason.by_running_length)}. By piece, "
        f"{format_length(reason.end_distance_nm, unit)} from each end{least}: "
        f"{by_piece} = {reason.per_piece:,}. Bought {BY_RULE[reason.bought_by]}."
    )


@sentence.register
def _(reason: FastenersNeeded, unit: LengthUnit, currency: str) -> str:
    name = fasteners_named(reason.fastener, reason.finish)
    both = (
        f"{name} for the order: {reason.by_running_length:,} by running length, "
        f"{reason.per_piece:,} by piece. "
    )
    counted = f"Counted {BY_RULE[reason.bought_by]}"
    if not (reason.allowance or reason.spares):
        return f"{both}{counted}, with no allowance and no spares: {reason.needed:,} needed."
    return (
        f"{both}{counted}: {reason.counted:,} + {reason.allowance:,} allowance "
        f"({reason.allowance_percent.normalize():f} %) + {write_count(reason.spares, 'spare')} = "
        f"{reason.needed:,} needed."
    )


@sentence.register
def _(reason: SetServed, unit: LengthUnit, currency: str) -> str:
    ways = (
        (reason.kits_with_fasteners, "by a kit with fasteners"),
        (reason.bare_kits, "by a bare kit"),
        (reason.standard_kits, "by a standard kit"),
        (reason.cut, "cut at the bench"),
        (reason.cut_instead, "cut from another material"),
    )
    used = [(openings, way) for openings, way in ways if openings]
    pieces = " + ".join(f"{count:,} × {format_length(nm, unit)}" for nm, count in reason.lengths)
    whose = f"{for_openings(reason)}{write_count(reason.openings, 'opening')}"
    if reason.openings == 1:
        return f"{whose} with {pieces} of {reason.material}: {used[0][1]}."
    served = ", ".join(
        f"{'all' if openings == reason.openings else f'{openings:,}'} {way}"
        for openings, way in used
    )
    return f"{whose}, each with {pieces} of {reason.material}: {served}."


@sentence.register
def _(reason: KitFastenersCounted, unit: LengthUnit, currency: str) -> str:
    spacing = format_length(reason.spacing_nm, unit)
    exact = Fraction(reason.nailed_nm, reason.spacing_nm)
    packs = Fraction(reason.fasteners) / reason.per_pack
    whole = write_count(reason.packs, "pack")
    quotient = (
        f"{format_number(packs)}, so {whole}"
        if packs == reason.packs
        else f"{format_number(packs)}, {ROUNDED[reason.rounding]} {whole}"
    )
    low = (
        f", counted on as {reason.counted_on:,}"
        if not reason.tolerance_percent
        else f", counted on as {reason.counted_on:,} after a tolerance of "
        f"{reason.tolerance_percent.normalize():f} %"
    )
    return (
        f"Kit {reason.sku} for {write_marks(reason.marks)}: at the supplier's spacing "
        f"{format_length(reason.nailed_nm, unit)} ÷ {spacing} = "
        f"{rounded_up(exact, reason.fasteners)} {plural(reason.fastener)}; "
        f"{reason.fasteners:,} ÷ {format_number(reason.per_pack)} = {quotient} a kit{low}."
    )


@sentence.register
def _(reason: KitPriced, unit: LengthUnit, currency: str) -> str:
    length = Fraction(reason.running_length_nm, reason.per_length_nm)
    terms = [
        (Fraction(reason.base), "base"),
        (
            Fraction(reason.per_length) * length,
            f"for {format_length(reason.running_length_nm, unit)} at "
            f"{format_money(reason.per_length, currency)} per "
            f"{format_length(reason.per_length_nm, unit)}",
        ),
        (
            Fraction(reason.per_piece) * reason.pieces,
            f"for {write_count(reason.pieces, 'piece')} at "
            f"{format_money(reason.per_piece, currency)}",
        ),
        (
            Fraction(reason.per_pack) * reason.packs,
            f"for {write_count(reason.packs, 'pack')} at {format_money(reason.per_pack, currency)}",
        ),
    ]
    total = sum((amount for amount, _ in terms), Fraction(0))
    added = " + ".join(f"{money(amount, currency)} {what}" for amount, what in terms if amount)
    rounded = (
        "" if total == Fraction(reason.unit_price) else f"{money(total, currency)}, rounded to "
    )
    return (
        f"Kit {reason.sku} for {write_marks(reason.marks)}: {added or 'no charge'} = {rounded}"
        f"{format_money(reason.unit_price, currency)} a kit."
    )


@sentence.register
def _(reason: KitFastenersPriced, unit: LengthUnit, currency: str) -> str:
    more = "more" if reason.extra >= 0 else "less"
    in_kit = (
        f"Kit {reason.sku} costs {format_money(abs(reason.extra), currency)} {more} than bare kit "
        f"{reason.bare_sku} and brings {write_count(reason.packs, 'pack')}, "
        f"{reason.counted_on:,} fasteners"
    )
    if reason.loose is None:
        return f"{in_kit}; no loose pack is offered."
    sku, price, holds = reason.loose
    loose = -(-reason.counted_on // holds)
    return (
        f"{in_kit}; as many in loose packs {sku} would be {loose:,} at "
        f"{format_money(price, currency)}, {format_money(loose * price, currency)}."
    )


@sentence.register
def _(reason: FastenersSupplied, unit: LengthUnit, currency: str) -> str:
    sources = [
        *(f"{write_count(n, 'kit')} {sku} × {each:,}" for sku, n, each in reason.kits),
        *(f"{write_count(n, 'loose pack')} {sku} × {each:,}" for sku, n, each in reason.packs),
    ]
    if reason.on_hand:
        sources.append(f"{reason.on_hand:,} on hand")
    arriving = f"{' + '.join(sources)} = {reason.supplied:,}" if sources else "none bought"
    name = fasteners_named(reason.fastener, reason.finish)
    left = f"{reason.spare:,} left over" if reason.spare else "none left over"
    if reason.left_on_hand:
        left += f"; {reason.left_on_hand:,} more stay on hand"
    supplied = f"{name}: {arriving}; {reason.needed:,} needed, {left}."
    if (reason.kits or reason.packs) and not reason.least_percent:
        return f"{supplied} What is on hand is enough alone, whatever the packs hold."
    if reason.least_per_pack is not None and reason.stated_per_pack is not None:
        return (
            f"{supplied} Enough while a pack holds at least {reason.least_per_pack:,} "
            f"(stated: {format_number(reason.stated_per_pack)})."
        )
    if reason.kits or reason.packs:
        return (
            f"{supplied} Enough while every pack holds at least "
            f"{reason.least_percent.normalize():f} % of what it states."
        )
    return supplied
