"""Schedules in XLSX: cells, merged cells, sheets, and files that would harm. All invented."""

import datetime
import io
import zipfile
from collections.abc import Callable

import pytest
from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from optimiser.schedules import ReadingOptions, read_schedule
from optimiser.units.lengths import LengthUnit
from tests.unit.schedule_files import (
    HEADER,
    codes,
    messages,
    note_codes,
    read,
    skipped_codes,
    workbook_bytes,
    xlsx_bytes,
)

DOOR = ("D-01", 2, "single door", 36, 80, "zinc")
PART = "xl/worksheets/sheet1.xml"


def repack(content: bytes, change: Callable[[str, bytes], bytes]) -> bytes:
    """Return a workbook with each of its parts changed."""
    file = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(content)) as source,
        zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as target,
    ):
        for name in source.namelist():
            target.writestr(name, change(name, source.read(name)))
    return file.getvalue()


def replace_in_sheet(content: bytes, old: bytes, new: bytes) -> bytes:
    def change(name: str, part: bytes) -> bytes:
        if name != PART:
            return part
        assert old in part
        return part.replace(old, new)

    return repack(content, change)


def test_numbers_and_texts_are_read_as_a_spreadsheet_shows_them() -> None:
    reading = read(
        xlsx_bytes(
            [
                HEADER,
                DOOR,
                (102, 1.0, "pair", 60.5, "80 1/8", "zinc"),
                # A spreadsheet keeps 15 digits: 35.1 + 0.2 is 35.300000000000004 as a double.
                ("D-03", 1, "single", 35.1 + 0.2, 80, "zinc"),
            ]
        )
    )
    assert messages(reading) == []
    assert reading.described == "XLSX, sheet Doors"
    assert [(o.mark, o.quantity, o.width_nm) for o in reading.openings] == [
        ("D-01", 2, 914_400_000),
        ("102", 1, 1_536_700_000),
        ("D-03", 1, 896_620_000),
    ]


def test_unit_of_a_number_format_is_that_of_the_number() -> None:
    def change(sheet: Worksheet) -> None:
        sheet["D2"].number_format = '0.0" mm"'

    reading = read(xlsx_bytes([HEADER, ("D-01", 1, "single", 914.5, 80, "zinc")], change=change))
    assert [o.width_nm for o in reading.openings] == [914_500_000]


def test_dates_errors_and_formulas_without_value_are_refused_by_cell() -> None:
    def change(sheet: Worksheet) -> None:
        sheet["A2"] = datetime.date(2026, 3, 6)
        sheet["D2"] = "=36+1"
        sheet["E2"] = "#REF!"
        sheet["E2"].data_type = "e"

    reading = read(xlsx_bytes([HEADER, DOOR], change=change))
    assert messages(reading) == [
        "Row 2, column A (Mark): “2026-03-06 00:00:00” is a date, which a spreadsheet makes of "
        "what was typed (3-6, for instance); format the column as text and write the value again.",
        "Row 2, column D (Width): “=” is a formula whose value is not stored in the file; open "
        "the file in a spreadsheet and save it, or write the value.",
        "Row 2, column E (Height): “#REF!” is an error of the spreadsheet; correct the formula, "
        "or write the value.",
    ]


def test_formula_with_a_stored_value_is_that_value() -> None:
    content = xlsx_bytes([HEADER, ("D-01", 1, "single", "=30+6", 80, "zinc")])
    stored = replace_in_sheet(content, b"<f>30+6</f>", b"<f>30+6</f><v>36</v>")
    assert [o.width_nm for o in read(stored).openings] == [914_400_000]


def test_merged_cells_carry_their_value_down() -> None:
    def change(sheet: Worksheet) -> None:
        sheet.merge_cells("A1:F1")
        sheet.merge_cells("C3:C4")
        sheet.merge_cells("F3:F4")

    rows = [
        ("Harbour Row hotel",),
        HEADER,
        DOOR,
        ("D-02", 1, None, 30, 80, None),
        ("D-03", 1, "pair", 60, 80, "bronze"),
    ]
    reading = read(xlsx_bytes(rows, change=change))
    assert messages(reading) == []
    assert [(o.mark, o.kind, o.finish) for o in reading.openings] == [
        ("D-01", "single-door", "zinc"),
        ("D-02", "single-door", "zinc"),
        ("D-03", "pair-of-doors", "bronze"),
    ]
    assert skipped_codes(reading) == [(1, 1, "above-header"), (2, 2, "header")]


def test_merged_marks_and_quantities_are_refused() -> None:
    def change(sheet: Worksheet) -> None:
        sheet.merge_cells("A2:A3")
        sheet.merge_cells("B2:B3")

    reading = read(xlsx_bytes([HEADER, DOOR, (None, None, *DOOR[2:])], change=change))
    assert messages(reading) == [
        "Row 3, column A (Mark): “D-01” is of a merged cell that begins in row 2; give each row a "
        "mark of its own.",
        "Row 3, column B (Qty): “2” is of a merged cell that begins in row 2, and may be meant "
        "for each row or for all; write the quantity in each row.",
    ]


def test_row_of_merged_cells_alone_is_blank_and_a_wide_cell_is_a_heading() -> None:
    def change(sheet: Worksheet) -> None:
        for column in "ABCDEF":
            sheet.merge_cells(f"{column}2:{column}3")
        sheet.merge_cells("A4:F4")

    rows = [HEADER, DOOR, (), ("Annexe",), ("D-02", *DOOR[1:])]
    reading = read(xlsx_bytes(rows, change=change))
    assert messages(reading) == []
    assert [o.mark for o in reading.openings] == ["D-01", "D-02"]
    assert skipped_codes(reading) == [(1, 1, "header"), (3, 3, "blank"), (4, 4, "heading")]


def test_header_of_two_rows_with_groups_and_units() -> None:
    def change(sheet: Worksheet) -> None:
        sheet.merge_cells("C1:D1")

    rows = [
        ("Mark", "Type", "Leaf", None, "Strip finish", "Spacing"),
        (None, None, "Width", "Height", None, "mm"),
        ("D-01", "single", 36, 80, "zinc", 50),
    ]
    reading = read(xlsx_bytes(rows, change=change))
    assert messages(reading) == []
    (opening,) = reading.openings
    assert (opening.size_of, opening.fastener_spacing_nm) == ("leaf", 50_000_000)
    assert skipped_codes(reading) == [(1, 2, "header")]


def test_sheet_is_the_only_one_with_a_header_or_the_one_named() -> None:
    workbook = Workbook()
    first = workbook.active
    assert isinstance(first, Worksheet)
    first.title = "Notes"
    first["A1"] = "by hand"
    for name in ("Doors", "Hidden"):
        sheet = workbook.create_sheet(name)
        sheet.append(HEADER)
        sheet.append(DOOR)
    workbook["Hidden"].sheet_state = "hidden"
    workbook["Doors"].row_dimensions[2].hidden = True
    reading = read(workbook_bytes(workbook))
    assert [note.message for note in reading.notes] == [
        "The schedule: the sheet Notes has no header of a schedule and was not read.",
        "Row 2: the row is hidden in the sheet and was read like any other.",
    ]
    assert reading.quantity == 2
    workbook["Hidden"].sheet_state = "visible"
    both = workbook_bytes(workbook)
    assert messages(read(both)) == [
        "The schedule: more than one sheet has a header of a schedule: Doors, Hidden; name the "
        "sheet to read."
    ]
    assert read(both, options=ReadingOptions(sheet="doors")).quantity == 2
    assert messages(read(both, options=ReadingOptions(sheet="Annexe"))) == [
        "The schedule: the workbook has no visible sheet Annexe that holds anything; name one of: "
        "Notes, Doors, Hidden."
    ]


def test_workbook_with_nothing_in_it_is_refused() -> None:
    assert codes(read(xlsx_bytes([]))) == [(None, None, "empty-schedule")]


def test_old_and_broken_workbooks_are_refused() -> None:
    content = xlsx_bytes([HEADER, DOOR])
    assert codes(read(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600)) == [
        (None, None, "old-or-protected")
    ]
    for broken in (content[:200], content[:-40], content.replace(b"PK\x01\x02", b"PK\x01\x03")):
        assert codes(read(broken)) == [(None, None, "broken-workbook")]
    assert codes(read(replace_in_sheet(content, b"</row>", b"</raw>"))) == [
        (None, None, "broken-workbook")
    ]
    assert messages(read(replace_in_sheet(content, b't="n"><v>36</v>', b't="s"><v>99</v>'))) == [
        "The schedule: the workbook cannot be read (IndexError); open it in a spreadsheet, save "
        "it as .xlsx and send it again."
    ]


def test_strict_workbook_is_refused() -> None:
    content = xlsx_bytes([HEADER, DOOR])
    main = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    strict = replace_in_sheet(content, main, b"http://purl.oclc.org/ooxml/spreadsheetml/main")
    assert codes(read(strict)) == [(None, None, "strict-workbook")]


def test_zip_bomb_is_refused_before_it_is_unpacked() -> None:
    content = xlsx_bytes([HEADER, DOOR])
    # Ten megabytes of blanks pack at about 1,000 to 1.
    bomb = replace_in_sheet(content, b"</worksheet>", b"</worksheet>" + b" " * 10_000_000)
    assert len(bomb) < 30_000
    assert messages(read(bomb)) == [
        "The schedule: a part of the workbook unpacks to more than 200 times its size; copy the "
        "table into a workbook of its own."
    ]


def test_many_parts_that_are_small_enough_are_refused_by_their_sum() -> None:
    # Each is 1.9 MB, under the size from which the ratio counts.
    file = io.BytesIO(xlsx_bytes([HEADER, DOOR]))
    with zipfile.ZipFile(file, "a", zipfile.ZIP_DEFLATED) as archive:
        for number in range(40):
            archive.writestr(f"xl/media/{number}.bin", b"\0" * 1_900_000)
    assert codes(read(file.getvalue())) == [(None, None, "unpacked-size")]


def test_too_many_parts_and_parts_there_twice_are_refused() -> None:
    file = io.BytesIO(xlsx_bytes([HEADER, DOOR]))
    with zipfile.ZipFile(file, "a") as archive:
        for number in range(1_000):
            archive.writestr(f"xl/media/{number}.bin", b"")
    assert codes(read(file.getvalue())) == [(None, None, "archive-entries")]
    file = io.BytesIO(xlsx_bytes([HEADER, DOOR]))
    with zipfile.ZipFile(file, "a") as archive, pytest.warns(UserWarning, match="Duplicate"):
        archive.writestr(PART, b"<worksheet/>")
    assert codes(read(file.getvalue())) == [(None, None, "broken-workbook")]


def test_entities_are_refused_whatever_the_part_is_called_or_encoded() -> None:
    content = xlsx_bytes([HEADER, DOOR])
    laughs = b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>'
    for encoding in ("utf-8", "utf-16"):

        def change(name: str, part: bytes, encoding: str = encoding) -> bytes:
            if name != PART:
                return part
            text = part.decode().removeprefix("<?xml version='1.0' encoding='UTF-8'?>\n")
            return (laughs.decode() + text).encode(encoding)

        assert codes(read(repack(content, change))) == [(None, None, "document-type")]
    file = io.BytesIO(content)
    with zipfile.ZipFile(file, "a") as archive:
        archive.writestr("xl/theme.bin", laughs + b"<x>&b;</x>")
    assert codes(read(file.getvalue())) == [(None, None, "document-type")]


def test_billion_cell_sheet_is_refused() -> None:
    content = xlsx_bytes([HEADER, DOOR])
    cell = b'<row r="%d"><c r="%s%d"><v>1</v></c></row></sheetData>'
    far = replace_in_sheet(content, b"</sheetData>", cell % (1_048_576, b"XFD", 1_048_576))
    assert messages(read(far)) == [
        "The schedule: a sheet holds something in row 1,048,576, beyond the last that is taken, "
        "20,000; clear what stands far from the table, or split the table."
    ]
    wide = replace_in_sheet(content, b"</sheetData>", cell % (30, b"XFD", 30))
    assert messages(read(wide)) == [
        "The schedule: a sheet holds something in column XFD, beyond the last that is taken, IV; "
        "clear what stands far from the table, or split the table."
    ]
    corner = replace_in_sheet(content, b"</sheetData>", cell % (20_000, b"IV", 20_000))
    assert messages(read(corner)) == [
        "The schedule: a sheet reaches to IV20000 and so spans 5,120,000 cells, more than "
        "500,000; clear what stands far from the table, or copy it into a sheet of its own."
    ]


def test_stated_extent_and_formatted_blank_cells_far_away_do_no_harm() -> None:
    content = xlsx_bytes([HEADER, DOOR])
    stated = replace_in_sheet(content, b'ref="A1:F2"', b'ref="A1:XFD1048576"')
    blank = b'<row r="1048576"><c r="XFD1048576" s="0"/></row></sheetData>'
    reading = read(replace_in_sheet(stated, b"</sheetData>", blank))
    assert messages(reading) == []
    assert reading.quantity == 2


def test_wide_merges_over_the_whole_sheet_take_no_memory() -> None:
    content = xlsx_bytes([HEADER, DOOR])
    merges = b"".join(b'<mergeCell ref="A%d:XFD1048576"/>' % n for n in range(3, 5_000))
    many = replace_in_sheet(
        content, b"</sheetData>", b"</sheetData><mergeCells>" + merges + b"</mergeCells>"
    )
    assert read(many).quantity == 2


def test_more_elements_than_a_schedule_has_are_refused() -> None:
    content = xlsx_bytes([HEADER, DOOR])
    file = io.BytesIO(content)
    with zipfile.ZipFile(file, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/filler.xml", b"<x>" + b"<a/>" * 100_001 + b"</x>")
    assert codes(read(file.getvalue())) == [(None, None, "workbook-too-large")]
    cells = replace_in_sheet(content, b"</sheetData>", b"<row/>" * 1_200_000 + b"</sheetData>")
    assert codes(read(cells)) == [(None, None, "packing-ratio")]
    deep = replace_in_sheet(content, b"</worksheet>", b"<a>" * 70 + b"</a>" * 70 + b"</worksheet>")
    assert codes(read(deep)) == [(None, None, "workbook-too-large")]


def test_reading_is_the_same_from_csv_and_from_a_workbook() -> None:
    from_csv = read_schedule(b"Mark,Type,Size,Finish\nD-01,pair,6068,zinc\n", unit=LengthUnit.INCH)
    from_workbook = read(
        xlsx_bytes([("Mark", "Type", "Size", "Finish"), ("D-01", "pair", 6068, "zinc")])
    )
    assert from_csv.openings == from_workbook.openings
    assert from_csv.notes == from_workbook.notes
    assert note_codes(from_csv) == [(1, "D", "finish-of-what")]
