"""Tables with something wrong in their bytes are read or refused, and never crash the reader."""

import datetime
import io
import random
import time
import traceback
import zipfile
from collections import Counter
from collections.abc import Iterable
from functools import cache

from openpyxl import load_workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

from service.catalogues import TableForm, read_table, write_table
from service.problems import Problem
from tests.benchmark.mutations import TEXTS, Originals, mutate
from tests.catalogue_files import archive, spring

VALUES = (None, 0, -1, 3, 1.5, 0.065, 42.13, 1e15, 1e300, -0.0, True, datetime.date(2026, 3, 6))
MOST_SECONDS = 20.0


def draw_originals() -> tuple[dict[str, Originals], dict[str, bytes]]:
    """Return the spring catalogue in both forms for each CSV file, and these files by name."""
    workbook = _write_spring()
    with zipfile.ZipFile(io.BytesIO(write_table(spring(), TableForm.CSV))) as packed:
        files = {name: packed.read(name) for name in packed.namelist()}
    tables = tuple(
        [[str(cell or "") for cell in row] for row in sheet.iter_rows(values_only=True)]
        for sheet in load_workbook(io.BytesIO(workbook))
    )
    workbooks = tuple(_with_first(workbook, number) for number in range(1, 11))
    originals = {
        name: Originals(csv=(content,), workbooks=workbooks, tables=(table,))
        for (name, content), table in zip(files.items(), tables, strict=True)
    }
    return originals, files


@cache
def _write_spring() -> bytes:
    return write_table(spring(), TableForm.XLSX)


def mutate_cells(draw: random.Random) -> bytes:
    """Return a sound workbook with other values in some of its cells."""
    book = load_workbook(io.BytesIO(_write_spring()))
    for _ in range(draw.choice((1, 1, 2, 4))):
        sheet = draw.choice(book.worksheets)
        row = draw.randint(1, sheet.max_row)
        cell = sheet.cell(row, draw.randint(1, sheet.max_column))
        value = draw.choice((*TEXTS, *VALUES))
        cell.value = ILLEGAL_CHARACTERS_RE.sub("", value) if isinstance(value, str) else value
        if isinstance(value, str):
            # Also one that begins with =.
            cell.data_type = "s"
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def _with_first(workbook: bytes, number: int) -> bytes:
    """Return a workbook whose archive begins with a sheet, which is then mutated most."""
    file = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook)) as source,
        zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as target,
    ):
        first = f"xl/worksheets/sheet{number}.xml"
        for name in sorted(source.namelist(), key=lambda name: (name != first, name)):
            target.writestr(name, source.read(name))
    return file.getvalue()


def read_mutations(numbers: Iterable[int]) -> tuple[Counter[str], list[str], float]:
    """Return how many were read or refused, by code; the crashes; the longest time."""
    originals, files = draw_originals()
    tally: Counter[str] = Counter()
    crashes: list[str] = []
    slowest = 0.0
    for number in numbers:
        draw = random.Random(number)
        name = draw.choice(sorted(files))
        form = TableForm.XLSX
        mutated = mutate_cells(draw) if draw.random() < 0.4 else mutate(number, originals[name])
        if mutated[:2] != b"PK" and number % 4 < 2:
            form = TableForm.CSV
            mutated = archive({**files, name: mutated})
        started = time.monotonic()
        try:
            read_table(mutated, form)
            tally["read"] += 1
        except Problem as problem:
            assert problem.faults
            assert all(fault.message.endswith(".") for fault in problem.faults)
            tally.update({"refused", *(fault.code for fault in problem.faults)})
        except Exception:
            crashes.append(f"mutation {number}:\n{traceback.format_exc()}")
        slowest = max(slowest, time.monotonic() - started)
    return tally, crashes, slowest


def test_mutated_tables_are_read_or_refused_and_never_crash() -> None:
    tally, crashes, slowest = read_mutations(range(300))
    assert crashes == []
    assert tally["read"] + tally["refused"] == 300
    # Both outcomes and many faults, so that the sample says something.
    assert min(tally["read"], tally["refused"]) > 10
    assert len(tally) > 20
    assert slowest < MOST_SECONDS
