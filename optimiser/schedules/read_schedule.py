"""Read a door and window schedule from the bytes of a CSV or XLSX file."""

from collections.abc import Mapping

from optimiser.domain.opening import Opening, SizeOf
from optimiser.schedules import limits
from optimiser.schedules.cells import CellReader
from optimiser.schedules.columns import ColumnUse, Header
from optimiser.schedules.csv_text import read_csv
from optimiser.schedules.faults import (
    Place,
    ScheduleFault,
    ScheduleNote,
    ScheduleUnreadable,
    refuse,
    shorten,
)
from optimiser.schedules.fields import ScheduleField
from optimiser.schedules.gathering import Gatherer
from optimiser.schedules.header_faults import find_header_faults, note_columns
from optimiser.schedules.layout import Mapped, assign_columns, find_header
from optimiser.schedules.options import ReadingOptions, ScheduleFormat
from optimiser.schedules.passed_over import gather_skipped, why_passed_over
from optimiser.schedules.reading import (
    ColumnRead,
    ScheduleReading,
    ScheduleRow,
    SkippedRows,
)
from optimiser.schedules.rows import RowReader
from optimiser.schedules.sheet import Sheet, name_column
from optimiser.schedules.totals import Totals
from optimiser.schedules.xlsx_workbook import read_workbook
from optimiser.units.lengths import LengthUnit

_ZIP = b"PK"


def read_schedule(
    content: bytes,
    *,
    unit: LengthUnit,
    kind: ScheduleFormat | None = None,
    mapping: Mapping[ScheduleField, str | None] | None = None,
    defaults: Mapping[ScheduleField, str] | None = None,
    options: ReadingOptions | None = None,
) -> ScheduleReading:
    """Return the openings of a schedule, or every fault of it and no opening.

    Bare numbers are in `unit`, unless the header of their column names another. `kind` is told
    from the content where it is `None`. `mapping` names the column of a field by its header or
    its letter, `None` for no column; other columns are found by the usual names. `defaults` are
    texts, as a cell would hold them, for fields without a column and for blank cells.
    """
    wanted, given = mapping or {}, defaults or {}
    settings = options or ReadingOptions()
    try:
        sheets = _read_sheets(content, kind, settings)
        sheet, header, notes = _choose_sheet(sheets, wanted, settings)
    except ScheduleUnreadable as error:
        return _refused(error.faults, described="not read")
    uses, faults = assign_columns(header, wanted)
    faults += find_header_faults(header, uses, set(given))
    notes = (*notes, *sheet.notes, *note_columns(header, uses, sheet))
    columns = _list_columns(header, uses)
    if faults and not _can_read_rows(uses):
        return _refused(tuple(faults), described=sheet.described, columns=columns, notes=notes)
    size_of = _size_of(uses)
    gatherer = Gatherer(
        CellReader(uses, given, settings),
        decimal_comma=sheet.decimal_comma,
        sure_of_comma=settings.decimal_comma is True,
    )
    reader = RowReader(gatherer, unit=unit, size_of=size_of, options=settings)
    rows, openings, skipped = _read_rows(sheet, header, uses, reader, gatherer)
    if not rows and not faults and not gatherer.faults:
        faults.append(
            ScheduleFault(
                code="no-rows",
                place=Place(),
                problem="there is no row with an opening below the header",
                remedy="add one",
            )
        )
    faults += sorted(gatherer.faults, key=_by_place)
    return ScheduleReading(
        described=sheet.described,
        columns=columns,
        openings=() if faults else tuple(openings),
        rows=() if faults else tuple(rows),
        faults=tuple(faults),
        notes=(*notes, *gatherer.notes),
        skipped=gather_skipped(skipped),
    )


def _read_sheets(
    content: bytes, kind: ScheduleFormat | None, options: ReadingOptions
) -> tuple[Sheet, ...]:
    if len(content) > limits.FILE_BYTES:
        raise refuse(
            "file-too-large",
            f"the file has {len(content):,} bytes, more than {limits.FILE_BYTES:,}",
            "split the schedule",
        )
    if not content.strip():
        raise refuse("empty-schedule", "the file is empty", "send a schedule")
    old = content.startswith(b"\xd0\xcf\x11\xe0")
    if kind is ScheduleFormat.XLSX or (kind is None and (content.startswith(_ZIP) or old)):
        return read_workbook(content, decimal_comma=options.decimal_comma)
    sheet = read_csv(content, options)
    if not sheet.rows:
        raise refuse("empty-schedule", "the file holds nothing but blanks", "send a schedule")
    return (sheet,)


def _choose_sheet(
    sheets: tuple[Sheet, ...], mapping: Mapped, options: ReadingOptions
) -> tuple[Sheet, Header, tuple[ScheduleNote, ...]]:
    """Return the sheet that is named, or the only one with a header, and its header."""
    names = ", ".join(shorten(sheet.name) for sheet in sheets[:20])
    if options.sheet is not None and sheets[0].name:
        chosen = [s for s in sheets if s.name.casefold() == options.sheet.casefold()]
        if not chosen:
            raise refuse(
                "sheet-unknown",
                f"the workbook has no visible sheet {shorten(options.sheet)} that holds anything",
                f"name one of: {names}",
            )
        return chosen[0], find_header(chosen[0], mapping, options), ()
    found: list[tuple[Sheet, Header]] = []
    unread: ScheduleUnreadable | None = None
    for sheet in sheets:
        try:
            found.append((sheet, find_header(sheet, mapping, options)))
        except ScheduleUnreadable as error:
            unread = error
    if len(found) > 1:
        raise refuse(
            "several-sheets",
            "more than one sheet has a header of a schedule: "
            + ", ".join(shorten(sheet.name) for sheet, _ in found[:20]),
            "name the sheet to read",
        )
    if not found:
        raise unread or refuse("empty-schedule", "the file holds nothing", "send a schedule")
    sheet, header = found[0]
    notes = tuple(
        ScheduleNote(
            code="sheet-not-read",
            place=Place(),
            remark=f"the sheet {shorten(other.name)} has no header of a schedule and was not read.",
        )
        for other in sheets
        if other is not sheet
    )
    return sheet, header, notes


def _by_place(fault: ScheduleFault) -> tuple[int, int, str]:
    letter = fault.place.column or ""
    return fault.place.row or 0, len(letter), letter


def _can_read_rows(uses: dict[int, ColumnUse]) -> bool:
    """Return whether rows can be told apart, so that their faults are worth reporting too."""
    fields = {use.field for use in uses.values()}
    return ScheduleField.MARK in fields and bool(
        fields & {ScheduleField.SIZE, ScheduleField.WIDTH, ScheduleField.HEIGHT}
    )


def _size_of(uses: dict[int, ColumnUse]) -> SizeOf | None:
    return next((use.datum for use in uses.values() if use.datum is not None), None)


def _read_rows(
    sheet: Sheet,
    header: Header,
    uses: dict[int, ColumnUse],
    reader: RowReader,
    gatherer: Gatherer,
) -> tuple[list[ScheduleRow], list[Opening], list[SkippedRows]]:
    rows: list[ScheduleRow] = []
    openings: list[Opening] = []
    skipped = _skip_to_header(sheet, header)
    totals = Totals(uses, gatherer.note)
    before = header.last_row
    for row in sheet.rows:
        if row.number <= header.last_row:
            continue
        if row.number > before + 1:
            skipped.append(_skip(before + 1, row.number - 1, "blank", "blank"))
        before = row.number
        passed_over = why_passed_over(row, header, uses)
        if passed_over:
            skipped.append(_skip(row.number, row.number, *passed_over))
            if passed_over[0] == "totals" and not gatherer.faults:
                totals.compare(row)
            continue
        read = reader.read(row)
        if read:
            rows.append(read[0])
            openings += read[1]
            totals.add(sum(opening.quantity for opening in read[1]))
    return rows, openings, skipped


def _skip_to_header(sheet: Sheet, header: Header) -> list[SkippedRows]:
    skipped = []
    filled = {row.number for row in sheet.rows}
    for number in range(1, header.first_row):
        if number in filled:
            skipped.append(_skip(number, number, "above-header", "above the header"))
        else:
            skipped.append(_skip(number, number, "blank", "blank"))
    if header.rows:
        skipped.append(_skip(header.first_row, header.last_row, "header", "the header"))
    return skipped


def _skip(first: int, last: int, code: str, reason: str) -> SkippedRows:
    return SkippedRows(first=first, last=last, code=code, reason=reason)


def _list_columns(header: Header, uses: dict[int, ColumnUse]) -> tuple[ColumnRead, ...]:
    return tuple(
        ColumnRead(
            letter=name_column(column),
            header=header.cells[column].text,
            field=uses[column].field if column in uses else None,
            unit=uses[column].unit if column in uses else None,
        )
        for column in sorted(header.cells)
    )


def _refused(
    faults: tuple[ScheduleFault, ...],
    *,
    described: str,
    columns: tuple[ColumnRead, ...] = (),
    notes: tuple[ScheduleNote, ...] = (),
) -> ScheduleReading:
    return ScheduleReading(
        described=described,
        columns=columns,
        openings=(),
        rows=(),
        faults=faults,
        notes=notes,
        skipped=(),
    )
