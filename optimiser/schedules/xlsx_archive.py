"""The defences of a workbook: what its archive and its XML may hold before anything reads it.

A workbook is a ZIP archive of XML parts (ISO/IEC 29500). Sizes are checked from the archive's
directory, beyond which nothing is unpacked; then every part is parsed once as a stream that keeps
nothing but what a reader of cells does not tell: the extent of each sheet, merged cells, hidden
rows, and formulas whose value was not stored.
"""

import io
import re
import zipfile
import zlib
from dataclasses import dataclass, field
from typing import Final
from xml.parsers import expat

from optimiser.schedules import limits
from optimiser.schedules.faults import ScheduleUnreadable, refuse
from optimiser.schedules.sheet import name_column, read_column_name

_SPREADSHEET: Final = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_STRICT: Final = "http://purl.oclc.org/ooxml/spreadsheetml/main"
_CHUNK: Final = 65_536
_COORDINATE = re.compile(r"([A-Za-z]{1,3})([0-9]{1,7})")
_MAY_BE_XML = re.compile(rb"[\x00\s\xef\xbb\xbf\xfe\xff]*<")
_OLD_FORMAT: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"

Area = tuple[int, int, int, int]
"""First row, first column, last row, last column of a merged cell; columns from 0."""


@dataclass(slots=True, kw_only=True)
class SheetExtent:
    """What the stream over one sheet has found; rows from 1, columns from 0."""

    last_row: int = 0
    last_column: int = -1
    merged: list[Area] = field(default_factory=list)
    hidden: set[int] = field(default_factory=set)
    without_value: set[tuple[int, int]] = field(default_factory=set)


def inspect_workbook(content: bytes, *, rows: int = limits.ROWS) -> dict[str, SheetExtent]:
    """Return the extent of each sheet, by the name of its part in the archive.

    `rows` is the last row that may hold anything.

    Raises:
        ScheduleUnreadable: not a workbook, or one that would take too much memory or time.
    """
    if content.startswith(_OLD_FORMAT):
        raise refuse(
            "old-or-protected",
            "the file is an old .xls workbook, or protected by a password",
            "save it as .xlsx without a password",
        )
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            check_archive(archive.infolist())
            budget = _Budget(rows=rows)
            sheets = {}
            for entry in archive.infolist():
                extent = _inspect_part(archive, entry, budget)
                if extent is not None:
                    sheets[entry.filename] = extent
            return sheets
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError) as error:
        raise _broken(str(error)) from None
    except (ValueError, RuntimeError, OverflowError, UnicodeError) as error:
        raise _broken(type(error).__name__) from None


def _broken(reason: str, thing: str = "workbook") -> ScheduleUnreadable:
    shown = " ".join(reason.split())[:80]
    return refuse(
        "broken-workbook" if thing == "workbook" else "broken-archive",
        f"the {thing} cannot be unpacked ({shown})",
        "open it in a spreadsheet, save it as .xlsx and send it again"
        if thing == "workbook"
        else "pack it anew and send it again",
    )


def check_archive(entries: list[zipfile.ZipInfo], thing: str = "workbook") -> None:
    """Look over an archive's directory; the messages call the archive a `thing`.

    Raises:
        ScheduleUnreadable: it would unpack to too much, or is packed in an unusual way.
    """
    if len(entries) > limits.ARCHIVE_ENTRIES:
        raise refuse(
            "archive-entries",
            f"the {thing} has {len(entries):,} parts, more than {limits.ARCHIVE_ENTRIES:,}",
            f"copy the table into a {thing} of its own",
        )
    if len({entry.filename for entry in entries}) < len(entries):
        raise _broken("a part is there twice", thing)
    for entry in entries:
        if entry.flag_bits & 1:
            raise refuse(
                "old-or-protected",
                f"the {thing} is protected by a password",
                "save it without a password",
            )
        if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise _broken("a part is packed in a way that is not read", thing)
        if entry.file_size > limits.RATIO_COUNTS_FROM_BYTES and (
            entry.file_size > limits.PACKING_RATIO * max(1, entry.compress_size)
        ):
            raise refuse(
                "packing-ratio",
                f"a part of the {thing} unpacks to more than {limits.PACKING_RATIO} times its size",
                f"copy the table into a {thing} of its own",
            )
    unpacked = sum(entry.file_size for entry in entries)
    if unpacked > limits.UNPACKED_BYTES:
        raise refuse(
            "unpacked-size",
            f"the {thing} unpacks to {unpacked:,} bytes, more than {limits.UNPACKED_BYTES:,}",
            f"copy the table into a {thing} of its own",
        )


@dataclass(slots=True)
class _Budget:
    """The XML elements that the parts have in common to spend, and the rows that each may have."""

    elements: int = limits.XML_ELEMENTS
    rows: int = limits.ROWS


def _inspect_part(
    archive: zipfile.ZipFile, entry: zipfile.ZipInfo, budget: _Budget
) -> SheetExtent | None:
    """Return the extent of a sheet, `None` for any other part."""
    with archive.open(entry) as part:
        chunk = part.read(_CHUNK)
        must_be_xml = entry.filename.lower().endswith((".xml", ".rels"))
        if not must_be_xml and not _MAY_BE_XML.match(chunk):
            return None
        stream = _PartStream(budget)
        try:
            while chunk:
                stream.parser.Parse(chunk, False)
                chunk = part.read(_CHUNK)
            stream.parser.Parse(b"", True)
        except expat.ExpatError as error:
            if must_be_xml:
                raise _broken(f"{entry.filename}: {expat.ErrorString(error.code)}") from None
        return stream.finish()


class _PartStream:
    """Parses one part and keeps nothing of it but its extent.

    Every row and column is counted as openpyxl counts them, where the part does not state them.
    """

    def __init__(self, budget: _Budget) -> None:
        self._budget = budget
        self._depth = self._elements = 0
        self._most_elements = limits.XML_ELEMENTS_BESIDE_CELLS
        self._extent: SheetExtent | None = None
        self._row = self._column = 0
        self._has_value = self._has_formula = self._in_value = False
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.StartDoctypeDeclHandler = self._refuse_doctype
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._read_text

    def finish(self) -> SheetExtent | None:
        """Return the extent, checked; `None` where the part is not a sheet."""
        extent = self._extent
        if extent and (area := extent.last_row * (extent.last_column + 1)) > limits.AREA:
            raise refuse(
                "sheet-too-large",
                f"a sheet reaches to {name_column(extent.last_column)}{extent.last_row} and so "
                f"spans {area:,} cells, more than {limits.AREA:,}",
                "clear what stands far from the table, or copy it into a sheet of its own",
            )
        return extent

    def _refuse_doctype(self, *_: object) -> None:
        raise refuse(
            "document-type",
            "a part of the workbook declares a document type, by which entities are brought in",
            "save it anew with a spreadsheet, which writes none",
        )

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self._depth += 1
        self._elements += 1
        self._budget.elements -= 1
        if (
            self._depth > limits.XML_DEPTH
            or self._budget.elements < 0
            or self._elements > self._most_elements
        ):
            raise refuse(
                "workbook-too-large",
                f"the parts of the workbook have more than {limits.XML_ELEMENTS:,} elements, one "
                f"without cells more than {limits.XML_ELEMENTS_BESIDE_CELLS:,}, or elements more "
                f"than {limits.XML_DEPTH} deep",
                "copy the table into a workbook of its own",
            )
        namespace, _, tag = name.rpartition(" ")
        if self._depth == 1:
            if namespace == _STRICT:
                raise refuse(
                    "strict-workbook",
                    "the workbook is in the strict variant of its format",
                    "save it as an ordinary .xlsx workbook",
                )
            if (namespace, tag) == (_SPREADSHEET, "worksheet"):
                self._extent = SheetExtent()
            if namespace == _SPREADSHEET and tag in ("worksheet", "sst"):
                self._most_elements = limits.XML_ELEMENTS
        elif self._extent and namespace == _SPREADSHEET:
            self._start_in_sheet(self._extent, tag, attributes)

    def _start_in_sheet(self, extent: SheetExtent, tag: str, attributes: dict[str, str]) -> None:
        if tag == "row":
            self._row = int(float(attributes["r"])) if "r" in attributes else self._row + 1
            self._column = -1
            if attributes.get("hidden") in ("1", "true"):
                extent.hidden.add(self._row)
        elif tag == "c":
            self._column += 1
            if match := _COORDINATE.fullmatch(attributes.get("r", "")):
                self._row, self._column = int(match[2]), read_column_name(match[1]) or 0
            self._has_value = self._has_formula = False
        elif tag in ("v", "is"):
            self._in_value = True
        elif tag == "f":
            self._has_formula = True
        elif tag == "mergeCell":
            self._add_merged(extent, attributes.get("ref", ""))

    def _read_text(self, text: str) -> None:
        if self._in_value and self._extent and not self._has_value and text.strip():
            self._has_value = True
            self._take_in_cell(self._extent)

    def _take_in_cell(self, extent: SheetExtent) -> None:
        extent.last_row = max(extent.last_row, self._row)
        extent.last_column = max(extent.last_column, self._column)
        self._check_extent(extent)

    def _check_extent(self, extent: SheetExtent) -> None:
        for last, most, code, thing in (
            (extent.last_row, self._budget.rows, "too-many-rows", "row"),
            (extent.last_column + 1, limits.COLUMNS, "too-many-columns", "column"),
        ):
            if last > most:
                where = name_column(last - 1) if thing == "column" else f"{last:,}"
                raise refuse(
                    code,
                    f"a sheet holds something in {thing} {where}, beyond the last that is taken, "
                    f"{name_column(most - 1) if thing == 'column' else f'{most:,}'}",
                    "clear what stands far from the table, or split the table",
                )

    def _add_merged(self, extent: SheetExtent, reference: str) -> None:
        first, _, last = reference.partition(":")
        start, end = _COORDINATE.fullmatch(first), _COORDINATE.fullmatch(last)
        if start and end:
            area = (
                int(start[2]),
                read_column_name(start[1]) or 0,
                int(end[2]),
                read_column_name(end[1]) or 0,
            )
            if area[0] <= area[2] and area[1] <= area[3]:
                extent.merged.append(area)

    def _end(self, name: str) -> None:
        self._depth -= 1
        if not self._extent:
            return
        if name.endswith((" v", " is")):
            self._in_value = False
        elif name.endswith(" c") and self._has_formula and not self._has_value:
            self._extent.without_value.add((self._row, self._column))
            self._take_in_cell(self._extent)
