"""From the bytes of a schedule and its options to openings, or to a problem with every fault."""

from optimiser.domain.faults import Fault
from optimiser.domain.opening import Opening
from optimiser.rule_sets import known_rule_sets
from optimiser.schedules import (
    ReadingOptions,
    ScheduleFault,
    ScheduleFormat,
    ScheduleReading,
    read_schedule,
    write_report,
)
from optimiser.units.lengths import LengthUnit, format_length
from service.json_text import MalformedJson, read_json
from service.mapping.validation import validate
from service.problems import INVALID_SCHEDULE, Problem, count_faults
from service.wire import schedules as wire


def read_options(text: str | None) -> wire.ScheduleOptions:
    """Return the options that a JSON text states; the usual ones where there is none.

    Raises:
        Problem: not JSON, or not such options; every fault is listed.
    """
    if text is None:
        return wire.ScheduleOptions()
    try:
        raw = read_json(text.encode("utf-8", "surrogatepass"))
    except MalformedJson as error:
        raise _invalid_options(error.faults) from None
    options = validate(wire.ScheduleOptions, raw)
    if isinstance(options, list):
        raise _invalid_options(tuple(options))
    return options


def _invalid_options(faults: tuple[Fault, ...]) -> Problem:
    named = tuple(
        Fault(
            ("options", *fault.path),
            f"options-{fault.code}",
            f"Options: {fault.message}",
        )
        for fault in faults
    )
    return Problem(INVALID_SCHEDULE, count_faults(named), faults=named)


def read_schedule_file(
    content: bytes,
    options: wire.ScheduleOptions,
    form: ScheduleFormat | None,
    *,
    as_text: bool = False,
) -> ScheduleReading:
    """Return what a schedule states; `as_text` wants a refusal as a report for a reader.

    Raises:
        Problem: the schedule has faults; all are listed by row and column.
    """
    reading = read_schedule(
        content,
        unit=options.unit,
        kind=form,
        mapping=options.mapping,
        defaults=options.defaults,
        options=ReadingOptions(
            sheet=options.sheet,
            header_row=options.header_row,
            encoding=options.encoding,
            delimiter=options.delimiter,
            decimal_comma=options.decimal_comma,
            pair_width=options.pair_width,
            words=options.words,
            carry_down=frozenset(options.carry_down),
            rule_sets=frozenset(
                (*(rule_set.id for rule_set in known_rule_sets()), *options.rule_sets)
            ),
        ),
    )
    if reading.faults:
        faults = tuple(_to_fault(fault) for fault in reading.faults)
        report = write_report(reading) if as_text else None
        raise Problem(INVALID_SCHEDULE, count_faults(faults), faults=faults, text=report)
    return reading


def _to_fault(fault: ScheduleFault) -> Fault:
    place = fault.place
    path: tuple[str | int, ...] = ()
    if place.default is not None:
        path = ("options", "defaults", str(place.default))
    elif place.row is not None:
        path = ("rows", place.row) if place.column is None else ("rows", place.row, place.column)
    return Fault(path, fault.code, fault.message)


def write_schedule(reading: ScheduleReading, unit: LengthUnit) -> wire.Schedule:
    """Return a reading as the answer that the contract describes."""
    return wire.Schedule(
        described=reading.described,
        unit=unit,
        openings=[_write_opening(opening, unit) for opening in reading.openings],
        columns=[
            wire.ScheduleColumn(
                letter=column.letter, header=column.header, field=column.field, unit=column.unit
            )
            for column in reading.columns
        ],
        rows=[wire.RowRead(row=row.row, marks=list(row.marks)) for row in reading.rows],
        notes=[
            wire.ScheduleNote(
                code=note.code, row=note.place.row, column=note.place.column, message=note.message
            )
            for note in reading.notes
        ],
        skipped=[
            wire.SkippedRows(first=rows.first, last=rows.last, code=rows.code, message=rows.message)
            for rows in reading.skipped
        ],
    )


def _write_opening(opening: Opening, unit: LengthUnit) -> wire.ScheduledOpening:
    def show(length_nm: int | None) -> str | None:
        return None if length_nm is None else format_length(length_nm, unit)

    return wire.ScheduledOpening(
        mark=opening.mark,
        kind=opening.kind,
        size=wire.ScheduledSize(
            width=format_length(opening.width_nm, unit),
            height=format_length(opening.height_nm, unit),
        ),
        size_of=opening.size_of,
        lower_height=show(opening.lower_height_nm),
        inactive_leaf_width=show(opening.inactive_leaf_width_nm),
        quantity=opening.quantity,
        rule_set=opening.rule_set,
        also=list(opening.also),
        finish=opening.finish,
        fastener_spacing=show(opening.fastener_spacing_nm),
        meeting_stiles=opening.meeting_stiles,
        threshold=opening.threshold,
        sash_cords=opening.sash_cords,
        side_strips=opening.side_strips,
        remarks=opening.remarks,
    )
