"""What is measured on site as plain text: the sheet to fill in, and the check of two readings."""

from collections.abc import Iterator

from optimiser.domain.field import (
    Finding,
    FindingCode,
    MeasurementSheet,
    ReadingCheck,
    ReadingLimits,
)
from optimiser.render.openings import describe_opening
from optimiser.render.table import write_item, write_table
from optimiser.units.lengths import FINEST_FRACTION, NM_PER_INCH, LengthUnit, format_length

BLANK = "________"


def render_measurement_sheet(
    sheet: MeasurementSheet, unit: LengthUnit, limits: ReadingLimits | None = None
) -> str:
    """Return a sheet to fill in on site: each measurement with room for two readings."""
    return "\n".join(_write_sheet(sheet, unit, limits or ReadingLimits())) + "\n"


def _write_sheet(sheet: MeasurementSheet, unit: LengthUnit, limits: ReadingLimits) -> Iterator[str]:
    opening = sheet.opening
    yield from write_item(
        f"Measurements, {opening.mark}: {describe_opening(opening, unit)}", bullet=""
    )
    if opening.quantity > 1:
        yield from write_item(
            f"One sheet for each of the {opening.quantity:,} openings.", bullet=""
        )
    yield f"Opening No {BLANK}  Measured by {BLANK * 2}  Date {BLANK}"
    yield from write_item(
        f"In {'inches' if unit is LengthUnit.INCH else 'millimetres'}; read twice, the second time "
        "without looking at the first. Left and right are as seen from the side you work on.",
        bullet="",
    )
    yield ""
    rows = [
        (
            str(number),
            BLANK,
            BLANK,
            "" if item.expected is None else _bare(item.expected.length_nm, unit),
            f"{item.what}: {item.how}",
        )
        for number, item in enumerate(sheet.measurements, start=1)
    ]
    yield from write_table(
        ("No", "First", "Second", "Ordered", "What and how"), rows, right=frozenset({0, 3})
    )
    yield ""
    yield from write_item(
        "Cut nothing before this is settled: readings more than "
        f"{format_length(limits.between_readings_nm, unit)} apart; diagonals more than "
        f"{format_length(limits.between_diagonals_nm, unit)} apart (out of square); widths or "
        f"heights more than {format_length(limits.between_parallels_nm, unit)} apart; anything "
        f"more than {format_length(limits.from_order_nm, unit)} from what is ordered.",
        bullet="",
    )


def _bare(length_nm: int, unit: LengthUnit) -> str:
    """Return a length without its unit, which stands at the head of the sheet; to 1/64 in."""
    step_nm = {LengthUnit.INCH: NM_PER_INCH // FINEST_FRACTION, LengthUnit.MILLIMETRE: 100_000}
    nearest_nm = (2 * length_nm + step_nm[unit]) // (2 * step_nm[unit]) * step_nm[unit]
    return format_length(nearest_nm, unit).removesuffix(f" {unit}")


def render_reading_check(check: ReadingCheck, unit: LengthUnit) -> str:
    """Return what two readings of an opening say, and whether it may be cut."""
    return "\n".join(_write_check(check, unit)) + "\n"


def _write_check(check: ReadingCheck, unit: LengthUnit) -> Iterator[str]:
    verdict = (
        "both readings agree; it may be cut"
        if check.may_be_cut
        else f"do not cut yet, {len(check.findings)} to settle"
    )
    yield f"{check.mark}, opening {check.number:,}: {verdict}."
    for finding in check.findings:
        yield from write_item(word_finding(finding, unit))


def word_finding(finding: Finding, unit: LengthUnit) -> str:
    """Return what was found as a sentence that says what would mend it."""
    names = " and ".join(name.replace("-", " ") for name in finding.measurements)
    lengths = " and ".join(format_length(nm, unit) for nm in finding.lengths_nm)
    difference = (
        f"{format_length(finding.difference_nm, unit)} apart, above the limit of "
        f"{format_length(finding.limit_nm, unit)}"
    )
    where = f"Reading {finding.reading}: " if finding.reading else ""
    match finding.code:
        case FindingCode.NOT_MEASURED:
            told = f"{names} is missing; measure it."
        case FindingCode.NOT_ASKED:
            told = f"{names} is not on the sheet; leave it out."
        case FindingCode.NOT_POSITIVE:
            told = f"{names} is {lengths}; measure it again."
        case FindingCode.READINGS_DIFFER:
            told = f"{names}: {lengths}, {difference}; measure a third time."
        case FindingCode.OUT_OF_SQUARE:
            told = (
                f"{names} are {lengths}, {difference}: out of square. "
                "Square the opening, or cut each piece to its own edge."
            )
        case FindingCode.NOT_PARALLEL:
            told = (
                f"{names} are {lengths}, {difference}: the sides are "
                "not parallel. Cut each piece to its own edge."
            )
        case FindingCode.NOT_AS_ORDERED:
            measured, ordered = (format_length(nm, unit) for nm in finding.lengths_nm)
            told = (
                f"{names} is {measured}, the order gives {ordered}: "
                f"{difference}. Mend the order before anything is bought for it."
            )
    return where + told if where else told[0].upper() + told[1:]
