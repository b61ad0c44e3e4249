"""Measurement sheets out; limits and readings in; what the readings say out."""

from collections.abc import Iterable, Mapping

from optimiser.domain import field as domain
from optimiser.domain.order import Order
from optimiser.render import word_finding
from optimiser.units.lengths import parse_length
from service.mapping.faults import FaultGatherer
from service.mapping.fit_out import write_calculation
from service.mapping.shown import ValueWriter
from service.wire import measuring as wire

Taken = dict[tuple[str, int], tuple[domain.Reading, domain.Reading]]
"""Both readings of each opening that was read, by mark and number."""


def to_limits(stated: wire.MeasuringOrder, gatherer: FaultGatherer) -> domain.ReadingLimits:
    """Return the limits; what cannot be read is kept by the gatherer."""
    return domain.ReadingLimits(
        **{
            f"{name}_nm": gatherer.read(
                ("limits", name), 0, parse_length, getattr(stated.limits, name), stated.unit
            )
            for name in wire.ReadingLimits.model_fields
        }
    )


def to_readings(stated: wire.ReadingOrder, gatherer: FaultGatherer) -> Taken:
    """Return the readings; what cannot be read, or has no opening, is kept by the gatherer."""
    quantities = {opening.mark: opening.quantity for opening in stated.openings}
    taken: Taken = {}
    for position, entry in enumerate(stated.readings):
        path = ("readings", position)
        if entry.mark not in quantities:
            gatherer.add(
                (*path, "mark"),
                "unknown-mark",
                f"there is no opening {entry.mark!r}; correct the mark, or add the opening.",
            )
        elif entry.number > quantities[entry.mark]:
            gatherer.add(
                (*path, "number"),
                "no-such-opening",
                f"{entry.number:,} is above the number of openings of {entry.mark}, "
                f"{quantities[entry.mark]:,}; correct one of them.",
            )
        elif (entry.mark, entry.number) in taken:
            gatherer.add(
                path,
                "repeated-reading",
                f"opening {entry.number:,} of {entry.mark} was read twice already; state its two "
                "readings in one entry.",
            )
        first, second = (
            domain.Reading(
                lengths_nm=tuple(
                    (
                        name,
                        gatherer.read((*path, which, name), 0, parse_length, length, stated.unit),
                    )
                    for name, length in lengths.items()
                )
            )
            for which, lengths in (("first", entry.first), ("second", entry.second))
        )
        taken[entry.mark, entry.number] = (first, second)
    return taken


def write_measurement_sheets(
    order: Order, sheets: Iterable[domain.MeasurementSheet]
) -> wire.MeasurementSheets:
    """Return measurement sheets as an answer states them."""
    writer = ValueWriter(order.unit, order.catalogue.currency)
    return wire.MeasurementSheets(
        reference=order.reference,
        unit=order.unit,
        sheets=[
            wire.MeasurementSheet(
                mark=sheet.opening.mark,
                quantity=sheet.opening.quantity,
                measurements=[
                    wire.Measurement(
                        id=item.id,
                        what=item.what,
                        how=item.how,
                        expected=None
                        if item.expected is None
                        else write_calculation(item.expected, writer),
                    )
                    for item in sheet.measurements
                ],
            )
            for sheet in sheets
        ],
    )


def write_checks(
    order: Order,
    checks: Iterable[domain.ReadingCheck],
    taken: Taken,
    not_read: Mapping[str, int],
) -> wire.ReadingChecks:
    """Return what the readings say as an answer states it."""
    writer = ValueWriter(order.unit, order.catalogue.currency)
    return wire.ReadingChecks(
        reference=order.reference,
        unit=order.unit,
        checks=[_write_check(check, *taken[check.mark, check.number], writer) for check in checks],
        not_read=[
            wire.MarkLeft(mark=mark, openings=openings) for mark, openings in not_read.items()
        ],
    )


def _write_check(
    check: domain.ReadingCheck,
    first: domain.Reading,
    second: domain.Reading,
    writer: ValueWriter,
) -> wire.ReadingCheck:
    firsts, seconds = dict(first.lengths_nm), dict(second.lengths_nm)
    return wire.ReadingCheck(
        mark=check.mark,
        number=check.number,
        may_be_cut=check.may_be_cut,
        differences=[
            wire.Difference(
                id=name,
                first=writer.length(firsts[name]),
                second=writer.length(seconds[name]),
                difference=writer.signed_length(difference_nm),
            )
            for name, difference_nm in check.differences_nm
        ],
        findings=[
            wire.Finding(
                code=finding.code,
                reading=finding.reading or None,
                measurements=list(finding.measurements),
                lengths=[writer.length(length_nm) for length_nm in finding.lengths_nm],
                difference=writer.length(finding.difference_nm),
                limit=writer.length(finding.limit_nm),
                sentence=word_finding(finding, writer.unit),
            )
            for finding in check.findings
        ],
    )
