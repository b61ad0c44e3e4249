"""Check a second reading of an opening against the first, and each for square."""

from collections.abc import Iterator
from itertools import combinations

from optimiser.domain.field import (
    Finding,
    FindingCode,
    MeasurementSheet,
    Reading,
    ReadingCheck,
    ReadingLimits,
)
from optimiser.field.measurements import DIAGONALS, HEIGHTS, WIDTHS


def check_readings(
    sheet: MeasurementSheet,
    first: Reading,
    second: Reading,
    limits: ReadingLimits | None = None,
    *,
    number: int = 1,
) -> ReadingCheck:
    """Return every difference between two readings and all that must be settled before cutting.

    A difference of exactly the limit passes. Diagonals and parallel lines are compared within
    each reading; of three parallel lines only the pair that differs most is told. Diagonals are
    not held against the order, since they follow from width and height. `number` says which
    opening of the mark it is.
    """
    limits = limits or ReadingLimits()
    asked = [measurement.id for measurement in sheet.measurements]
    readings = (dict(first.lengths_nm), dict(second.lengths_nm))
    findings: list[Finding] = []
    for which, lengths in enumerate(readings, start=1):
        findings += _check_whole(which, lengths, asked)
    both = [name for name in asked if name in readings[0] and name in readings[1]]
    differences = tuple((name, readings[1][name] - readings[0][name]) for name in both)
    findings += [
        Finding(
            code=FindingCode.READINGS_DIFFER,
            reading=0,
            measurements=(name,),
            lengths_nm=(readings[0][name], readings[1][name]),
            difference_nm=abs(difference_nm),
            limit_nm=limits.between_readings_nm,
        )
        for name, difference_nm in differences
        if abs(difference_nm) > limits.between_readings_nm
    ]
    for which, lengths in enumerate(readings, start=1):
        findings += _check_shape(which, lengths, limits)
    for which, lengths in enumerate(readings, start=1):
        findings += _check_order(which, lengths, sheet, limits.from_order_nm)
    return ReadingCheck(
        mark=sheet.opening.mark,
        number=number,
        differences_nm=differences,
        findings=tuple(findings),
    )


def _check_order(
    number: int, lengths: dict[str, int], sheet: MeasurementSheet, limit_nm: int
) -> Iterator[Finding]:
    for measurement in sheet.measurements:
        name, expected = measurement.id, measurement.expected
        if expected is None or name not in lengths or name in DIAGONALS:
            continue
        difference_nm = abs(lengths[name] - expected.length_nm)
        if difference_nm > limit_nm:
            yield Finding(
                code=FindingCode.NOT_AS_ORDERED,
                reading=number,
                measurements=(name,),
                lengths_nm=(lengths[name], expected.length_nm),
                difference_nm=difference_nm,
                limit_nm=limit_nm,
            )


def _check_whole(number: int, lengths: dict[str, int], asked: list[str]) -> Iterator[Finding]:
    for name in asked:
        if name not in lengths:
            yield Finding(code=FindingCode.NOT_MEASURED, reading=number, measurements=(name,))
    for name, length_nm in lengths.items():
        if name not in asked:
            yield Finding(code=FindingCode.NOT_ASKED, reading=number, measurements=(name,))
        elif length_nm < 0 or (length_nm == 0 and not name.endswith(("-gap", "-play", "-notch"))):
            yield Finding(
                code=FindingCode.NOT_POSITIVE,
                reading=number,
                measurements=(name,),
                lengths_nm=(length_nm,),
            )


def _check_shape(number: int, lengths: dict[str, int], limits: ReadingLimits) -> Iterator[Finding]:
    for code, names, limit_nm in (
        (FindingCode.OUT_OF_SQUARE, DIAGONALS, limits.between_diagonals_nm),
        (FindingCode.NOT_PARALLEL, WIDTHS, limits.between_parallels_nm),
        (FindingCode.NOT_PARALLEL, HEIGHTS, limits.between_parallels_nm),
    ):
        pairs = [
            (abs(lengths[one] - lengths[other]), one, other)
            for one, other in combinations(names, 2)
            if one in lengths and other in lengths
        ]
        if not pairs:
            continue
        difference_nm, one, other = max(pairs, key=lambda pair: pair[0])
        if difference_nm > limit_nm:
            yield Finding(
                code=code,
                reading=number,
                measurements=(one, other),
                lengths_nm=(lengths[one], lengths[other]),
                difference_nm=difference_nm,
                limit_nm=limit_nm,
            )
