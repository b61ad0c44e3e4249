"""The sentences of the notices: registered with `wording.sentence` when this is imported."""

from optimiser.domain.notices import (
    BoughtBeyondUse,
    CostNotProved,
    FastenersPooledOverFinishes,
    KitShortOfFasteners,
    PriceOfZero,
    SizeReadWithCare,
    SizeTakenForBoth,
    ThinFastenerMargin,
)
from optimiser.domain.opening import SizeOf
from optimiser.domain.phrases import plural, write_count, write_marks
from optimiser.domain.reasons import (
    AstragalByOthers,
    MeetingRailByOthers,
    MeetingStilesByOthers,
)
from optimiser.explain.wording import fasteners_named, sentence, stop
from optimiser.units.lengths import LengthUnit, format_length
from optimiser.units.money import format_money
from optimiser.units.numerals import format_number


@sentence.register
def _(notice: MeetingStilesByOthers, unit: LengthUnit, currency: str) -> str:
    mend = (
        "To have them here, set meeting_stiles of the opening to nested-members."
        if notice.offered
        else "No rule set that is named has members for them."
    )
    return (
        f"{write_marks(notice.marks)}: the meeting stiles, {format_length(notice.height_nm, unit)} "
        f"high, are not in this order: they are left to others, such as an astragal. {mend}"
    )


@sentence.register
def _(notice: AstragalByOthers, unit: LengthUnit, currency: str) -> str:
    return (
        f"{write_marks(notice.marks)}: the meeting stiles, {format_length(notice.height_nm, unit)} "
        "high, are closed by an astragal, which is not in this order: others supply it."
    )


@sentence.register
def _(notice: MeetingRailByOthers, unit: LengthUnit, currency: str) -> str:
    return (
        f"{write_marks(notice.marks)}: the meeting rail between the two leaves, "
        f"{format_length(notice.width_nm, unit)} wide, is not in this order: it is left to others, "
        "since no rule set that is named has members for it."
    )


@sentence.register
def _(notice: SizeTakenForBoth, unit: LengthUnit, currency: str) -> str:
    if notice.size_of is SizeOf.NOMINAL:
        return (
            f"{write_marks(notice.marks)}: the size stated is nominal, and is taken as the net "
            "size of the leaf. Measure before cutting, or state policy.clearances."
        )
    stated, other = ("leaf", "opening") if notice.size_of is SizeOf.LEAF else ("opening", "leaf")
    return (
        f"{write_marks(notice.marks)}: the size stated is that of the {stated}; the {other} is "
        "taken to be as large, with no clearance deducted. Measure before cutting."
    )


@sentence.register
def _(notice: SizeReadWithCare, unit: LengthUnit, currency: str) -> str:
    return (
        f"{write_marks(notice.marks)}: read as {format_length(notice.width_nm, unit)} wide and "
        f"{format_length(notice.height_nm, unit)} high. {stop(notice.remark)}"
    )


@sentence.register
def _(notice: FastenersPooledOverFinishes, unit: LengthUnit, currency: str) -> str:
    finishes = " and ".join(notice.finishes)
    return (
        f"{fasteners_named(notice.fastener, None)} are counted together for strip in {finishes}: "
        "any of them may end up in any strip. If the finish must match, set "
        "policy.fasteners_match_finish."
    )


@sentence.register
def _(notice: ThinFastenerMargin, unit: LengthUnit, currency: str) -> str:
    exactly = "Exactly enough" if not notice.spare else f"Enough, with {notice.spare:,} left over,"
    if notice.least_per_pack is not None and notice.stated_per_pack is not None:
        least = (
            f"a pack holds at least {notice.least_per_pack:,} "
            f"(stated: {format_number(notice.stated_per_pack)})"
        )
    else:
        least = (
            f"every pack holds at least {notice.least_percent.normalize():f} % of what it states"
        )
    name = fasteners_named(notice.fastener, notice.finish)
    return (
        f"{name}: {exactly[0].lower()}{exactly[1:]} only while {least}. What a pack really "
        "holds varies: state a tolerance of its contents, or add an allowance."
    )


@sentence.register
def _(notice: KitShortOfFasteners, unit: LengthUnit, currency: str) -> str:
    spacing = format_length(notice.spacing_nm, unit)
    short = f"{notice.short:,} {notice.fastener if notice.short == 1 else plural(notice.fastener)}"
    return (
        f"Kit {notice.sku} for {write_marks(notice.marks)} holds "
        f"{write_count(notice.packs, 'pack')}, {notice.held:,}, where its "
        f"supplier's own spacing asks for {notice.fasteners:,}: "
        f"each such kit alone is {short} short at {spacing}."
    )


@sentence.register
def _(notice: BoughtBeyondUse, unit: LengthUnit, currency: str) -> str:
    if notice.bought - notice.cut >= notice.sold_in_multiples_of:
        return (
            f"{notice.sku}: {notice.bought:,} bought, {notice.cut:,} cut, "
            f"{notice.bought - notice.cut:,} left whole: fewer would cost no less on its terms."
        )
    return (
        f"{notice.sku} is sold in multiples of {notice.sold_in_multiples_of:,}: "
        f"{notice.bought:,} bought, {notice.cut:,} cut, "
        f"{notice.bought - notice.cut:,} left whole."
    )


@sentence.register
def _(notice: PriceOfZero, unit: LengthUnit, currency: str) -> str:
    return (
        f"{notice.sku}: {notice.quantity:,} bought at a price of zero; check the price in the "
        "catalogue."
    )


@sentence.register
def _(notice: CostNotProved, unit: LengthUnit, currency: str) -> str:
    return (
        "The plan is not proved to be the cheapest: it costs "
        f"{format_money(notice.cost, currency)}, no plan costs less than "
        f"{format_money(notice.lower_bound, currency)}, so at most "
        f"{format_money(notice.gap, currency)} could still be saved. A longer time limit may "
        "settle it."
    )
