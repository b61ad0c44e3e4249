"""From the sheets of a file to the catalogue as JSON would state it, every value with its place."""

from collections import defaultdict
from copy import deepcopy
from typing import Any, Final

from optimiser.domain.faults import Fault
from optimiser.units.faults import quote
from service.catalogues.amounts import Unreadable
from service.catalogues.cell import LONGEST_TEXT, Cell, Place, Row, Sheet
from service.catalogues.headers import Header, read_header, suggest
from service.catalogues.tables import ARTICLE_TABLES, TABLES, Column, Path, Rows, Table

UNREAD: Final[list[Any]] = []
"""Stands for what could not be read: a value of no type that a cell has."""

_SEEDS: Final[dict[str, dict[str, Any]]] = {"kits": {"price": {}}, "standard_kits": {"lengths": []}}
"""What an article of the wire has although no cell states it."""


class Assembler:
    """Takes the sheets of the tables; `raw` is the catalogue, `faults` what was wrong with cells.

    `places` leads from each value, by its path in the catalogue, to where it stands. `unread` are
    the paths of values that have a fault of their own already.
    """

    def __init__(self) -> None:
        self.raw: dict[str, Any] = {}
        self.places: dict[Path, Place] = {}
        self.faults: list[Fault] = []
        self.unread: set[Path] = set()
        self._articles: dict[str, list[tuple[str, int]]] = defaultdict(list)

    def take(self, sheets: dict[str, Sheet]) -> None:
        """Take all sheets, by the names of their tables."""
        for table in TABLES:
            if sheet := sheets.get(table.name):
                self._take_table(table, sheet)

    def _take_table(self, table: Table, sheet: Sheet) -> None:
        header, faults = read_header(sheet, table)
        self.faults += faults
        self._note(_list_path(table), Place(form=sheet.form, sheet=sheet.name))
        known = frozenset(header.positions.values())
        rows = [row for row in sheet.rows if row.number > header.row and row.cells.keys() & known]
        if table.rows is Rows.CATALOGUE:
            self._check_one_row(sheet, header, rows)
        for row in rows:
            path = self._enter(table, sheet, header, row)
            if path is not None:
                self._take_row(table, sheet, header, row, path)

    def _check_one_row(self, sheet: Sheet, header: Header, rows: list[Row]) -> None:
        if not rows:
            self._note((), Place(form=sheet.form, sheet=sheet.name))
        for row in rows[1:]:
            place = Place(form=sheet.form, sheet=sheet.name, row=row.number)
            self.faults.append(
                Fault(
                    place.path,
                    "second-row",
                    f"{place}: a catalogue is of one supplier and has one row here; remove this "
                    "one, and send a file for each supplier.",
                )
            )
        del rows[1:]

    def _enter(self, table: Table, sheet: Sheet, header: Header, row: Row) -> Path | None:
        """Return the path of the entry that a row states, made if need be."""
        place = Place(form=sheet.form, sheet=sheet.name, row=row.number)
        root: Path = _list_path(table)
        match table.rows:
            case Rows.CATALOGUE:
                self._note((), place)
                return ()
            case Rows.ENTRIES:
                held: list[Any] = self.raw.setdefault(table.member, [])
                held.append(deepcopy(_SEEDS.get(table.member, {})))
            case Rows.OF_FREIGHT:
                held = self.raw.setdefault("freight", {}).setdefault(table.member, [])
                held.append({})
            case Rows.OF_ARTICLES:
                article = self._find_article(table, sheet, header, row)
                if article is None:
                    return None
                root = (*article, table.member)
                held = self.raw[article[0]][article[1]].setdefault(table.member, [])
                held.append({})
        path = (*root, len(held) - 1)
        self._note(path, place)
        return path

    def _find_article(
        self, table: Table, sheet: Sheet, header: Header, row: Row
    ) -> tuple[str, int] | None:
        """Return the list and the position of the article that a row names by its SKU."""
        key = table.columns[0]
        place = header.place(sheet, row.number, key)
        cell = row.cells.get(place.column) if place.column is not None else None
        if place.absent:
            self._refuse_absent(place)
            return None
        if cell is None:
            complaint = "is blank; write the SKU in every row, also below a merged cell"
            self.faults.append(Fault(place.path, "missing", f"{place}: {complaint}."))
            return None
        sku = self._read(key, sheet, cell, place, ())
        if sku is None:
            return None
        for member, position in self._articles[sku]:
            if member in table.of:
                return member, position
        lists = " or ".join(ARTICLE_TABLES[member].name for member in table.of)
        if self._articles[sku]:
            own = ARTICLE_TABLES[self._articles[sku][0][0]].name
            complaint = (
                f"stands in {own}, and {table.name} are of {lists}; correct the SKU, or remove "
                "the row"
            )
        else:
            known = [s for s, held in self._articles.items() if held and held[0][0] in table.of]
            near = suggest(sku, known) if known else "add the article there, or remove the row"
            complaint = f"is not the SKU of an article in {lists}; {near}"
        self.faults.append(Fault(place.path, "unknown-sku", f"{place}: {quote(sku)} {complaint}."))
        return None

    def _refuse_absent(self, place: Place) -> None:
        fault = absent_column(place)
        if fault not in self.faults:
            self.faults.append(fault)

    def _take_row(self, table: Table, sheet: Sheet, header: Header, row: Row, path: Path) -> None:
        for column in table.columns:
            if table.rows is Rows.OF_ARTICLES and column is table.columns[0]:
                continue
            place = header.place(sheet, row.number, column)
            inner = (*path, *column.member)
            self._note(inner, place)
            cell = row.cells.get(place.column) if place.column is not None else None
            if cell is None:
                continue
            value = self._read(column, sheet, cell, place, inner)
            self._put(inner, UNREAD if value is None else value)
            if column.member == ("sku",) and isinstance(value, str):
                self._articles[value].append((table.member, int(path[-1])))

    def _read(self, column: Column, sheet: Sheet, cell: Cell, place: Place, path: Path) -> Any:
        """Return what a cell states; `None` where that cannot be read, and its fault is kept."""
        try:
            if cell.trouble:
                raise Unreadable(*cell.trouble)
            if len(cell.text) > LONGEST_TEXT:
                raise Unreadable(
                    "cell-too-long",
                    f"has {len(cell.text):,} characters, more than {LONGEST_TEXT:,}",
                    "shorten it",
                )
            return column.kind.read(cell, sheet.decimal_comma)
        except Unreadable as error:
            self.unread.add(path)
            self.faults.append(
                Fault(
                    place.path,
                    error.code,
                    f"{place}: {quote(cell.text)} {error.problem}; {error.remedy}.",
                )
            )
        return None

    def _put(self, path: Path, value: Any) -> None:
        holder: Any = self.raw
        for part in path[:-1]:
            holder = holder.setdefault(part, {}) if isinstance(holder, dict) else holder[part]
        holder[path[-1]] = value

    def _note(self, path: Path, place: Place) -> None:
        """Keep the place of a value; one that holds others stands where the first of them is."""
        self.places.setdefault(path, place)
        for depth in range(len(path) - 1, 0, -1):
            self.places.setdefault(path[:depth], place)


def _list_path(table: Table) -> Path:
    if table.rows is Rows.OF_FREIGHT:
        return ("freight", table.member)
    return (table.member,) if table.rows is Rows.ENTRIES else ()


def absent_column(place: Place) -> Fault:
    """Return the fault of a sheet that lacks a column."""
    return Fault(
        place.path,
        "missing-column",
        f"{place}: there is no column {place.absent}, and what is stated needs it; add it.",
    )
