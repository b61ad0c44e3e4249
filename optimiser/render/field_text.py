"""What is measured on site as plain text: the sheet to fill in, and the check of two readings."""

from collections.abc import Iterator

from optimiser.domain.field import Finding, FindingCode, MeasurementSheet, ReadingCheck
from optimiser.render.openings import describe_opening
from optimiser.render.table import write_item, write_table
from optimiser.units.lengths import LengthUnit, format_length

BLANK = "________"


def render_measurement_sheet(sheet: MeasurementSheet, unit: LengthUnit) -> str:
    """Return a sheet to fill in on site: each measurement with room for two readings."""
    return "\n".join(_write_sheet(sheet, unit)) + "\n"


def _write_sheet(sheet: MeasurementSheet, unit: LengthUnit) -> Iterator[str]:
    opening = sheet.opening
    yield from write_item(
        f"Measurements, {opening.mark}: {describe_opening(opening, unit)}", bullet=""
    )
    if opening.quantity > 1:
        yield from write_item(
            f"One sheet for each of the {opening.quantity:,} openings.", bullet=""
        )
    yield from write_item(
        f"In {'inches' if unit is LengthUnit.INCH else 'millimetres'}; read twice, the second time "
        "without looking at the first.",
        bullet="",
    )
    yield ""
    rows = [
        (str(number), BLANK, BLANK, f"{item.what}: {item.how}")
        for number, item in enumerate(sheet.measurements, start=1)
    ]
    yield from write_table(("No", "First", "Second", "What and how"), rows, right=frozenset({0}))


def render_reading_check(check: ReadingCheck, unit: LengthUnit) -> str:
    """Return what two readings of an opening say, and whether it may be cut."""
    return "\n".join(_write_check(check, unit)) + "\n"


def _write_check(check: ReadingCheck, unit: LengthUnit) -> Iterator[str]:
    verdict = (
        "both readings agree; it may be cut"
        if check.may_be_cut
        else f"do not cut yet, {len(check.findings)} to settle"
    )
    yield f"{check.mark}: {verdict}."
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
    match finding.code:
        case FindingCode.NOT_MEASURED:
            return f"Reading {finding.reading}: {names} is missing; measure it."
        case FindingCode.NOT_ASKED:
            return f"Reading {finding.reading}: {names} is not on the sheet; leave it out."
        case FindingCode.NOT_POSITIVE:
            return f"Reading {finding.reading}: {names} is {lengths}; measure it again."
        case FindingCode.READINGS_DIFFER:
            return f"{names}: {lengths}, {difference}; measure a third time."
        case FindingCode.OUT_OF_SQUARE:
            return (
                f"Reading {finding.reading}: {names} are {lengths}, {difference}: out of square. "
                "Square the opening, or cut each piece to its own edge."
            )
        case FindingCode.NOT_PARALLEL:
            return (
                f"Reading {finding.reading}: {names} are {lengths}, {difference}: the sides are "
                "not parallel. Cut each piece to its own edge."
            )
