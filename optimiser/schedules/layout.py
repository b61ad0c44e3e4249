"""Where the header of a sheet is, and which column states what."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from optimiser.schedules import limits
from optimiser.schedules.columns import ColumnUse, Header, HeaderCell
from optimiser.schedules.faults import Place, ScheduleFault, ScheduleUnreadable
from optimiser.schedules.fields import ScheduleField
from optimiser.schedules.headers import fold_header, read_header, read_unit_alone
from optimiser.schedules.options import NO_HEADER, ReadingOptions
from optimiser.schedules.sheet import Row, Sheet, name_column, read_column_name

_PLACING = {ScheduleField.MARK, ScheduleField.SIZE, ScheduleField.WIDTH, ScheduleField.HEIGHT}

Mapped = Mapping[ScheduleField, str | None]
"""The column of a field, by header or by letter; `None` says that no column states it."""


def find_header(sheet: Sheet, mapping: Mapped, options: ReadingOptions) -> Header:
    """Return the header of a sheet, one row or two.

    It is the row, among the first hundred, that names most fields; a row below it that holds
    nothing but names or units belongs to it.

    Raises:
        ScheduleUnreadable: there is none.
    """
    if options.header_row == NO_HEADER:
        return Header(rows=(), cells=_letters_alone(sheet))
    rows = [row for row in sheet.rows[: limits.HEADER_WITHIN_ROWS] if row.cells]
    if options.header_row is not None:
        rows = [row for row in sheet.rows if row.number == options.header_row][:1]
        if rows:
            below = [row for row in sheet.rows if row.number == options.header_row + 1]
            return _join(rows[0], *(row for row in below if _only_names(row)))
    wanted = {fold_header(name) for name in mapping.values() if name}
    best: tuple[int, Header] | None = None
    for header in _candidates(rows):
        count = _count_named(header, wanted)
        if count and (best is None or count > best[0]):
            best = count, header
    if best is None:
        where = "" if options.header_row is None else f" in row {options.header_row}"
        raise ScheduleUnreadable(
            ScheduleFault(
                code="no-header",
                place=Place(),
                problem=f"no header was found{where}: no row names a mark or a size, and one more "
                "column",
                remedy="name the columns as usual (mark, qty, type, width, height), map them to "
                "the headers that the file has, or give header_row 0 and map them by letter",
            )
        )
    return best[1]


def _candidates(rows: list[Row]) -> Iterator[Header]:
    for row in rows:
        yield _join(row)
    for row, below in pairwise(rows):
        if below.number == row.number + 1 and _only_names(below):
            yield _join(row, below)


def _only_names(row: Row) -> bool:
    texts = [cell.text for cell in row.cells.values()]
    return bool(texts) and all(read_header(text) or read_unit_alone(text) for text in texts)


def _join(top: Row, below: Row | None = None) -> Header:
    """Return the header that one row makes, or two: a unit or a name below one that goes over it.

    The upper name of a group goes on to the right as far as the upper row is blank.
    """
    cells: dict[int, HeaderCell] = {}
    group = ""
    columns = set(top.cells) | (set(below.cells) if below else set())
    for column in sorted(columns):
        upper, lower = top.text(column), below.text(column) if below else ""
        group = upper or group
        unit = read_unit_alone(lower) if lower else None
        if unit:
            cells[column] = HeaderCell(text=upper, meaning=read_header(upper), unit=unit)
        elif lower:
            joined = f"{group} {lower}".strip()
            meaning = read_header(joined) or read_header(lower)
            cells[column] = HeaderCell(text=joined, meaning=meaning)
        else:
            cells[column] = HeaderCell(text=upper, meaning=read_header(upper))
    # The same two rows again, further down, are a repeated header.
    return Header(rows=(top, below) if below else (top,), cells=cells)


def _count_named(header: Header, wanted: set[str]) -> int:
    """Return how many fields a header names; 0 where that is too few to be one."""
    fields = {cell.meaning.field for cell in header.cells.values() if cell.meaning}
    mapped = sum(fold_header(cell.text) in wanted for cell in header.cells.values())
    if mapped or (len(fields) >= 2 and fields & _PLACING):
        # A mapped header counts twice: the user has named it.
        return len(fields) + 2 * mapped
    return 0


def _letters_alone(sheet: Sheet) -> dict[int, HeaderCell]:
    columns = {column for row in sheet.rows for column in row.cells}
    return {column: HeaderCell(text="", meaning=None) for column in columns}


@dataclass(slots=True)
class _Assignment:
    header: Header
    uses: dict[int, ColumnUse]
    faults: list[ScheduleFault]


def assign_columns(
    header: Header, mapping: Mapped
) -> tuple[dict[int, ColumnUse], list[ScheduleFault]]:
    """Return what each column is read as, and every fault of the header and of the mapping."""
    work = _Assignment(header, {}, [])
    for field, reference in mapping.items():
        if reference is not None:
            _assign_mapped(work, field, reference)
    _assign_named(work, set(mapping))
    return _share_unit(work.uses), work.faults


def _share_unit(uses: dict[int, ColumnUse]) -> dict[int, ColumnUse]:
    """Return the columns where a side without a unit has taken that of the other side."""
    sides = {ScheduleField.WIDTH, ScheduleField.HEIGHT}
    units = {use.unit for use in uses.values() if use.field in sides and use.unit}
    if len(units) != 1:
        return uses
    (unit,) = units
    return {
        column: replace(use, unit=use.unit or unit) if use.field in sides else use
        for column, use in uses.items()
    }


def _assign_mapped(work: _Assignment, field: ScheduleField, reference: str) -> None:
    cells = work.header.cells
    folded = fold_header(reference)
    found = [c for c, cell in cells.items() if cell.text and fold_header(cell.text) == folded]
    letter = read_column_name(reference.strip())
    if not found and letter is not None and letter in cells:
        found = [letter]
    place = Place()
    if len(found) == 1 and found[0] not in work.uses:
        cell = cells[found[0]]
        work.uses[found[0]] = ColumnUse.of(found[0], cell, field)
        return
    headers = ", ".join(f"{name_column(c)} {cell.text}".strip() for c, cell in cells.items())
    if not found:
        code, problem = "mapped-column-missing", "no column has that header or letter"
    elif len(found) > 1:
        code, problem = "mapped-column-ambiguous", "more than one column has that header"
    else:
        code, problem = "column-mapped-twice", "that column is mapped to another field as well"
    work.faults.append(
        ScheduleFault(
            code=code,
            place=place,
            read=reference,
            problem=f"is mapped to {field}, but {problem}",
            remedy=f"map one of: {headers[:400]}",
        )
    )


def _assign_named(work: _Assignment, mapped: set[ScheduleField]) -> None:
    """Give the columns that are not mapped the fields that their headers name."""
    by_field: dict[ScheduleField, list[int]] = {}
    weak: list[int] = []
    for column, cell in work.header.cells.items():
        meaning = cell.meaning
        if meaning is None or column in work.uses or meaning.field in mapped:
            continue
        if meaning.weak:
            weak.append(column)
        else:
            by_field.setdefault(meaning.field, []).append(column)
    marked = ScheduleField.MARK in mapped or ScheduleField.MARK in by_field
    if weak and not marked:
        by_field[ScheduleField.MARK] = weak
    elif weak and ScheduleField.QUANTITY not in mapped and ScheduleField.QUANTITY not in by_field:
        work.faults += [
            fault for column in weak if (fault := _number_fault(work.header, column)) is not None
        ]
    for field, columns in by_field.items():
        if len(columns) > 1 and not ColumnUse.may_repeat(field):
            names = " and ".join(f"{name_column(c)} ({work.header.cells[c].text})" for c in columns)
            work.faults.append(
                ScheduleFault(
                    code="column-ambiguous",
                    place=Place(row=work.header.last_row),
                    problem=f"columns {names} may all state the {field}",
                    remedy=f"map {field} to the one meant",
                )
            )
        else:
            for column in columns:
                work.uses[column] = ColumnUse.of(column, work.header.cells[column], field)


def _number_fault(header: Header, column: int) -> ScheduleFault | None:
    cell = header.cells[column]
    if not ColumnUse.may_be_quantity(cell.text):
        return None
    return ScheduleFault(
        code="column-ambiguous",
        place=Place(row=header.last_row, column=name_column(column), header=cell.text),
        problem="the column may state the quantity or a running number",
        remedy="map quantity to it, or map quantity to no column",
    )
