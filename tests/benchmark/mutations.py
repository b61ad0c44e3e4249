"""Schedule files with something wrong in their bytes; each depends on its number alone."""

import io
import random
import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from xml.sax.saxutils import escape

from tests.harbour_row_schedule import Table, draw_schedule, plant_faults, write_csv, write_xlsx

TOKENS = (
    b'"', b'""', b",", b";", b"\t", b"\r", b"\n", b"\0", b"\xff\xfe", b"\xef\xbb\xbf", b"\x81",
    b"'", b"\xc2\xbd", b"9" * 5_000, b"sep=;\n", b" " * 500, "½″×〃\u202e".encode(),
)  # fmt: skip
TEXTS = (
    "", "3068", "3-0 x 6-8", "(2) 3068", "PR 4068", "1/0", "9" * 500, "-1", "1e999", "NaN", "inf",
    "D-1 - D-99999999", "W1, W2 & W3", "total", "Mark", "Width (mm)", "=1+1", "½″×〃", "\u202e",
    "1,234", "36,5", "0", "ditto", '"', "-", "pair", "door", "FLOOR 2", "0.0000000001", "٣٦", "³6",
    "A1", "1048576", "XFD1048576", "true", "#REF!", "2026-02-30", "s", "n", "d", "b", "e",
    "inlineStr", "mm", "x" * 3_000, "a b c d e",
)  # fmt: skip
XML_TOKENS = (
    b"<", b">", b"/>", b"&lt;", b"&x;", b"<c/>", b'<c r="XFD1048576"><v>1</v></c>', b"<row/>",
    b'<row r="99999999999999999999">', b'r="A1"', b't="s"', b't="d"', b't="e"', b't="b"', b"<v>",
    b"</v>", b"<v>1e999</v>", b"<v>" + b"9" * 5_000 + b"</v>", b"<f>", b's="9999"', b"<!DOCTYPE a>",
    b'<mergeCell ref="A1:XFD1048576"/>', b'<mergeCell ref="B3:A1"/>', b"\0", b"\xff",
    b"<![CDATA[", b"<!--", b'ref="A1:XFD1048576"', b"-1", b"nan",
)  # fmt: skip

ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-32")
_VALUE = re.compile(rb'(?<=")[^"<>]+(?="[ />?])|(?<=>)[^<>]+(?=<)')


@dataclass(frozen=True, slots=True)
class Originals:
    """The sound files that are mutated."""

    csv: tuple[bytes, ...]
    workbooks: tuple[bytes, ...]
    tables: tuple[Table, ...]


def draw_originals() -> Originals:
    """Return small schedules in each form and encoding."""
    schedule = draw_schedule(12, seed=7)
    faulty, _ = plant_faults(draw_schedule(300))
    table = schedule.table
    return Originals(
        csv=(
            write_csv(table),
            write_csv(table, delimiter=";", encoding="utf-8-sig"),
            write_csv(table, delimiter="\t", encoding="utf-16"),
            write_csv(table, delimiter="|", encoding="cp1252"),
            write_csv(faulty[:40]),
        ),
        workbooks=(write_xlsx(table), write_xlsx(faulty[:40])),
        tables=(table,),
    )


def is_workbook(number: int) -> bool:
    """Return whether the mutation with a number is one of a workbook, and not of CSV."""
    return number % 4 in {2, 3}


def mutate(number: int, originals: Originals) -> bytes:
    """Return the mutation with a number: of CSV, of a workbook's parts, or of its archive."""
    draw = random.Random(number)
    match number % 4:
        case 0:
            return _change(draw, draw.choice(originals.csv), TOKENS)
        case 1:
            return _mutate_cells(draw, draw.choice(originals.tables))
        case 2:
            return _mutate_parts(draw, draw.choice(originals.workbooks), _change_values)
        case _ if draw.random() < 0.5:
            return _mutate_parts(draw, draw.choice(originals.workbooks), _change_xml)
        case _:
            return _change(draw, draw.choice(originals.workbooks), (b"PK\x03\x04", b"\xff" * 4))


def _mutate_cells(draw: random.Random, table: Table) -> bytes:
    """Return a CSV file with other texts in some of its cells."""
    changed = [[*row] for row in table]
    for _ in range(draw.choice((1, 2, 4))):
        row = draw.choice([row for row in changed if row])
        row[draw.randrange(len(row))] = draw.choice(TEXTS)
    return write_csv(changed, delimiter=draw.choice(",;\t|"), encoding=draw.choice(ENCODINGS))


def _change_values(draw: random.Random, part: bytes) -> bytes:
    """Return XML that is still well formed, with other values in attributes and texts."""
    # Outside the cells nearly any other value makes the workbook one that cannot be opened.
    start = max(0, part.find(b"<sheetData>")) if draw.random() < 0.9 else 0
    places = [match.span() for match in _VALUE.finditer(part, start)]
    for start, end in sorted(draw.sample(places, min(len(places), draw.choice((1, 2, 4)))))[::-1]:
        text = escape(draw.choice(TEXTS), {'"': "&quot;"}).encode()
        part = part[:start] + text + part[end:]
    return part


def _change_xml(draw: random.Random, part: bytes) -> bytes:
    return _change(draw, part, XML_TOKENS)


def _change(draw: random.Random, content: bytes, tokens: tuple[bytes, ...]) -> bytes:
    changed = bytearray(content)
    for _ in range(draw.choice((1, 1, 2, 4, 16))):
        at = draw.randrange(len(changed) + 1)
        length = draw.choice((1, 2, 8, 64))
        match draw.randrange(5):
            case 0:
                changed[at : at + length] = draw.randbytes(length)
            case 1:
                del changed[at : at + length]
            case 2:
                changed[at:at] = draw.choice(tokens) * draw.choice((1, 1, 1, 3))
            case 3:
                changed[at:at] = changed[at : at + 20 * length]
            case _:
                changed[at : at + length] = draw.choice(tokens)
    return bytes(changed)


def _mutate_parts(
    draw: random.Random, workbook: bytes, change: Callable[[random.Random, bytes], bytes]
) -> bytes:
    """Return a workbook with sound checksums whose parts are changed inside."""
    file = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook)) as source,
        zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as target,
    ):
        names = source.namelist()
        # The sheet is where most of what can go wrong stands.
        sheet = next(name for name in names if "worksheets/" in name)
        chosen = sheet if draw.random() < 0.6 else draw.choice(names)
        for name in names:
            part = source.read(name)
            target.writestr(name, change(draw, part) if name == chosen else part)
    return file.getvalue()
