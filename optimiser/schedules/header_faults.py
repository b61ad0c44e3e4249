"""What is wrong with the columns as a whole, told once and not in every row."""

from collections.abc import Iterator

from optimiser.domain.opening import SizeOf
from optimiser.schedules.columns import ColumnUse, Header
from optimiser.schedules.faults import Place, ScheduleFault, ScheduleNote
from optimiser.schedules.fields import ScheduleField
from optimiser.schedules.headers import FINISH_OF_WHAT, fold_header
from optimiser.schedules.sheet import Sheet, name_column

_SIDES = (ScheduleField.WIDTH, ScheduleField.HEIGHT)


def find_header_faults(
    header: Header, uses: dict[int, ColumnUse], defaulted: set[ScheduleField]
) -> list[ScheduleFault]:
    """Return what no column states though every opening needs it, and datums that clash."""
    return [*_missing(header, uses, defaulted), *_datum_faults(header, uses)]


def _missing(
    header: Header, uses: dict[int, ColumnUse], defaulted: set[ScheduleField]
) -> Iterator[ScheduleFault]:
    fields = {use.field for use in uses.values()}
    wanted = [(ScheduleField.MARK, "a column")]
    if ScheduleField.SIZE not in fields:
        sides = [side for side in _SIDES if side not in fields]
        wanted += [(side, "a column") for side in sides] if len(sides) == 1 else []
        wanted += [(ScheduleField.SIZE, "a column")] if len(sides) == 2 else []
    wanted += [(ScheduleField.KIND, "a column, or a default")]
    wanted += [(ScheduleField.FINISH, "a column, or a default")]
    read = ", ".join(f"{use.header or use.letter} as {use.field}" for use in uses.values())
    for field, remedy in wanted:
        may_default = field in (ScheduleField.KIND, ScheduleField.FINISH)
        if field not in fields and not (may_default and field in defaulted):
            yield ScheduleFault(
                code="column-missing",
                place=Place(row=header.last_row or None),
                problem=f"no column states the {field}"
                + (f" (read are: {read[:400]})" if read else ""),
                remedy=f"give it {remedy}, or map the one that states it",
            )


def _datum_faults(header: Header, uses: dict[int, ColumnUse]) -> Iterator[ScheduleFault]:
    datums: dict[SizeOf, ColumnUse] = {}
    for use in uses.values():
        if use.datum is not None:
            datums.setdefault(use.datum, use)
    if len(datums) > 1:
        named = " and ".join(f"{use.header} ({use.letter})" for use in datums.values())
        yield ScheduleFault(
            code="datum-differs",
            place=Place(row=header.last_row),
            problem=f"the columns {named} measure different things",
            remedy="map size, width and height to columns that measure the same",
        )


def _names_unit(header: Header, column: int) -> bool:
    cell = header.cells[column]
    return bool(cell.unit or (cell.meaning and cell.meaning.unit))


def note_columns(
    header: Header, uses: dict[int, ColumnUse], sheet: Sheet
) -> tuple[ScheduleNote, ...]:
    """Return notes on columns that are not read, and on a finish that may be the door's."""
    return tuple(_note_columns(header, uses, sheet))


def _note_columns(
    header: Header, uses: dict[int, ColumnUse], sheet: Sheet
) -> Iterator[ScheduleNote]:
    filled = {column for row in sheet.rows if row.number > header.last_row for column in row.cells}
    for column in sorted(filled):
        text = header.cells[column].text if column in header.cells else ""
        place = Place(row=header.last_row or None, column=name_column(column), header=text or None)
        use = uses.get(column)
        if use is not None and use.unit and not _names_unit(header, column):
            yield ScheduleNote(
                code="unit-taken",
                place=place,
                remark=f"bare numbers were read in {use.unit}, as the other side's header says.",
            )
        if use is None:
            yield ScheduleNote(
                code="column-not-read", place=place, remark="the column was not read."
            )
        elif use.field is ScheduleField.FINISH and fold_header(text) in FINISH_OF_WHAT:
            yield ScheduleNote(
                code="finish-of-what",
                place=place,
                remark="the column was read as the finish of the strip; if it states that of the "
                "door, map finish to no column and give a default.",
            )
