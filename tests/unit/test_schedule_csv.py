"""Schedules in CSV: encodings, delimiters, quotes, decimal commas. All invented."""

import pytest

from optimiser.schedules import ReadingOptions, ScheduleFormat
from optimiser.units.lengths import LengthUnit
from tests.unit.schedule_files import DOOR, HEADER, codes, csv_bytes, messages, note_codes, read

ROWS = [HEADER, ("D-01", "1", "single", "36½", "6'-8″", "zinc")]


@pytest.mark.parametrize(
    ("encoding", "described"),
    [
        ("utf-8", "UTF-8"),
        ("utf-8-sig", "UTF-8"),
        ("utf-16", "UTF-16"),
        ("utf-16-le", "UTF-16"),
        ("utf-16-be", "UTF-16"),
        ("utf-32", "UTF-32"),
    ],
)
def test_unicode_is_recognised_with_or_without_a_byte_order_mark(
    encoding: str, described: str
) -> None:
    reading = read(csv_bytes(ROWS, encoding=encoding))
    assert messages(reading) == []
    assert reading.described == f"CSV in {described}, delimiter comma"
    assert [o.width_nm for o in reading.openings] == [927_100_000]
    assert reading.notes == ()


def test_anything_else_is_read_as_windows_1252_and_said_to_be() -> None:
    rows = [HEADER, ("D-01", "1", "single", "36½", "80", "zinc")]
    reading = read(csv_bytes(rows, encoding="cp1252"))
    assert [o.width_nm for o in reading.openings] == [927_100_000]
    assert [note.message for note in reading.notes] == [
        "The schedule: the file is not UTF-8 and was read as Windows-1252; check letters with "
        "accents and fractions such as ½."
    ]


def test_encoding_is_taken_as_named() -> None:
    rows = [HEADER, ("D-01", "1", "single", "36½", "80", "zinc")]
    options = ReadingOptions(encoding="CP850")
    reading = read(csv_bytes(rows, encoding="cp850"), options=options)
    assert [o.width_nm for o in reading.openings] == [927_100_000]
    assert reading.described == "CSV in cp850, delimiter comma"


def test_unknown_encoding_and_bytes_outside_it_are_refused() -> None:
    assert messages(read(b"Mark", options=ReadingOptions(encoding="klingon")))[0].startswith(
        "The schedule: the encoding “klingon” is not known; name one of utf-8, utf-16, "
    )
    # `rot13` and `base64` are codecs of Python, and no encodings of text.
    assert codes(read(b"Mark", options=ReadingOptions(encoding="rot13"))) == [
        (None, None, "encoding-unknown")
    ]
    assert messages(read(b"Mark,Qty\n\xe9", options=ReadingOptions(encoding="ascii"))) == [
        "The schedule: byte 10, in line 2, is not ascii text; save the file as UTF-8, or name its "
        "encoding."
    ]
    assert messages(read(b"Mark,Qty\n\x81\x8d")) == [
        "The schedule: byte 10, in line 2, is not Windows-1252 text; save the file as UTF-8, or "
        "name its encoding."
    ]


@pytest.mark.parametrize(
    ("delimiter", "name"), [(",", "comma"), (";", "semicolon"), ("\t", "tab"), ("|", "pipe")]
)
def test_delimiter_is_found_by_the_header(delimiter: str, name: str) -> None:
    rows = [("Harbour Row, hotel; first floor",), HEADER, DOOR, (*DOOR[:5], "zinc, dull; fine")]
    reading = read(csv_bytes([*rows[:3], ("D-02", *rows[3][1:])], delimiter=delimiter))
    assert messages(reading) == []
    assert reading.described == f"CSV in UTF-8, delimiter {name}"
    assert [o.finish for o in reading.openings] == ["zinc", "zinc, dull; fine"]


def test_delimiter_is_taken_as_named_or_as_the_file_states_it() -> None:
    content = csv_bytes([HEADER, DOOR], delimiter=";")
    assert codes(read(content, options=ReadingOptions(delimiter="#"))) == [
        (None, None, "delimiter-unknown")
    ]
    assert read(content, options=ReadingOptions(delimiter=";")).quantity == 2
    reading = read(b"sep=;\r\n" + csv_bytes([HEADER, ("D-01", "0", *DOOR[2:])], delimiter=";"))
    # The line with the delimiter is a row of the file.
    assert codes(reading) == [(3, "B", "quantity-below-one")]


def test_decimal_commas_are_read_in_files_with_semicolons() -> None:
    rows = [HEADER, ("D-01", "1", "single", "914,4", "2032,5 mm", "zinc")]
    reading = read(csv_bytes(rows, delimiter=";"), unit=LengthUnit.MILLIMETRE)
    assert [(o.width_nm, o.height_nm) for o in reading.openings] == [(914_400_000, 2_032_500_000)]


def test_comma_with_three_digits_behind_it_is_refused_unless_the_user_has_said() -> None:
    rows = [HEADER, ("D-01", "1", "single", "914", "1,981", "zinc")]
    content = csv_bytes(rows, delimiter=";")
    assert messages(read(content, unit=LengthUnit.MILLIMETRE)) == [
        "Row 2, column E (Height): “1,981” holds a comma that may mark thousands or decimals; "
        "write it without the comma, or say that the file has decimal commas."
    ]
    reading = read(content, unit=LengthUnit.INCH, options=ReadingOptions(decimal_comma=True))
    assert [o.height_nm for o in reading.openings] == [50_317_400]


def test_quotes_and_line_ends_inside_them_follow_rfc_4180() -> None:
    content = (
        b'Mark,Qty,Type,Size,Strip finish,Remarks\r\nD-01,1,single,"36"" x 80""",zinc,"two\r\n'
        b'lines, ""quoted"""\r\nD-02,0,single,3068,zinc,\r\n'
    )
    reading = read(content)
    # A record over two lines is one row, as in a spreadsheet.
    assert codes(reading) == [(3, "B", "quantity-below-one")]
    mended = read(content.replace(b"D-02,0", b"D-02,1"))
    assert mended.openings[0].remarks == 'two\nlines, "quoted"'


@pytest.mark.parametrize(
    ("line", "problem"),
    [
        ('D-01,1,single,"36" x 80",zinc\n',
         "quotes inside a cell are not written twice (RFC 4180)"),
        ('D-01,1,single,"36 x 80,zinc\n',
         "quotes that begin a cell are not closed before the file ends"),
        (f'D-01,1,single,"{"x" * 200_000}",zinc\n',
         "a cell has more characters than a cell may have"),
    ],
)  # fmt: skip
def test_quotes_that_break_the_rules_are_refused_with_the_row(line: str, problem: str) -> None:
    reading = read(f"Mark,Qty,Type,Size,Strip finish\n{line}".encode())
    assert [(f.place.row, f.code, f.problem) for f in reading.faults] == [(2, "quotes", problem)]


def test_inch_marks_need_no_quotes_in_a_bare_cell() -> None:
    reading = read(b'Mark,Type,Size,Strip finish\nD-01,single,36" x 80",zinc\n')
    assert [o.width_nm for o in reading.openings] == [914_400_000]


@pytest.mark.parametrize("content", [b"", b"  \r\n\n", b"\xef\xbb\xbf", b",,,\n,,,\n"])
def test_empty_file_is_refused(content: bytes) -> None:
    assert codes(read(content)) == [(None, None, "empty-schedule")]


def test_file_beyond_the_limits_is_refused() -> None:
    assert codes(read(b"x" * (16 * 1024 * 1024 + 1))) == [(None, None, "file-too-large")]
    assert codes(read(b"Mark,Size\n" + b"D,3068\n" * 20_000)) == [(None, None, "too-many-rows")]
    assert codes(read(b"Mark,Size" + b",x" * 300 + b"\n")) == [(None, None, "too-many-columns")]


def test_binary_file_is_refused() -> None:
    assert codes(read(b"\x89\0PNG\r\n\x1a\n\0\0\x01")) == [(None, None, "not-text")]
    assert codes(read(b"PK\x03\x04 not a workbook", kind=ScheduleFormat.CSV)) == [
        (None, None, "no-header")
    ]


def test_control_character_in_a_cell_is_refused_by_row_and_column() -> None:
    rows = [(*HEADER, "Remarks"), ("D\x0701", *DOOR[1:], "a\x08b")]
    assert codes(read(csv_bytes(rows))) == [
        (2, "A", "control-character"),
        (2, "G", "control-character"),
    ]


def test_notes_name_the_header_of_the_column() -> None:
    assert note_codes(read(csv_bytes([(*HEADER, ""), (*DOOR, "stray")]))) == [
        (1, "G", "column-not-read")
    ]
