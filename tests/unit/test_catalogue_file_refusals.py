"""Files that are refused as a whole, before any cell of theirs is read."""

import io
import zipfile

import pytest

from service.catalogues import TableForm
from tests.catalogue_files import OFFER, archive, csv_text, find_faults, workbook

GOOD = {f"{name}.csv": csv_text(rows) for name, rows in OFFER.items()}


@pytest.mark.parametrize(
    ("content", "form", "code", "message"),
    [
        (b"", TableForm.XLSX, "broken-workbook", "The workbook cannot be unpacked (File is not a "
         "zip file); open it in a spreadsheet, save it as .xlsx and send it again."),
        (b"SKU,Price", TableForm.CSV, "broken-archive", "The file is not a ZIP archive that can be "
         "unpacked; pack the CSV files of the lists into a ZIP archive and send it again."),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", TableForm.XLSX, "old-or-protected", "The file is an "
         "old .xls workbook, or protected by a password; save it as .xlsx without a password."),
        (workbook(OFFER), TableForm.CSV, "not-an-archive-of-tables", "The file is a workbook, not "
         "a ZIP archive of CSV files; read it as XLSX, with a name that ends in .xlsx."),
        (archive(GOOD), TableForm.XLSX, "not-a-workbook", "The file is an archive of CSV files, "
         "not a workbook; read it as CSV, with a name that ends in .zip."),
        (archive({**GOOD, "tarif.csv": "x"}), TableForm.CSV, "unknown-sheet",
         "File “tarif.csv” is no list of a catalogue; name it one of Catalogue, Stock lengths, "
         "Kits, Fastener packs, Standard kits, Standard kit pieces, Price breaks, Kit discounts, "
         "Freight tiers, Over-length, or remove it."),
        (archive({**GOOD, "kits.csv": 'SKU,Price\n"LK'}), TableForm.CSV, "quotes",
         "kits.csv, row 2: quotes that begin a cell are not closed before the file ends; close "
         'them; write an inch mark inside quotes twice, as in "36"" x 80""".'),
        (archive({**GOOD, "kits.csv": b"SKU\0"}), TableForm.CSV, "not-text",
         "kits.csv: the file holds NUL characters, so it is not text; send CSV or XLSX."),
        (b"x" * (16 * 1024 * 1024 + 1), TableForm.CSV, "file-too-large",
         "The file has 16,777,217 bytes, more than 16,777,216; split the catalogue."),
    ],
)  # fmt: skip
def test_a_file_that_cannot_be_read_is_refused_as_a_whole(
    content: bytes, form: TableForm, code: str, message: str
) -> None:
    [fault] = find_faults(content, form)
    assert (fault.code, fault.message) == (code, message)


def test_an_archive_that_unpacks_to_far_more_is_refused_before_it_is_unpacked() -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as target:
        target.writestr("kits.csv", " " * 10_000_000)
    assert len(packed.getvalue()) < 30_000
    [fault] = find_faults(packed.getvalue(), TableForm.CSV)
    assert (fault.code, fault.message) == (
        "packing-ratio",
        "A part of the ZIP file unpacks to more than 200 times its size; copy the table into a ZIP "
        "file of its own.",
    )


@pytest.mark.parametrize("form", TableForm)
def test_an_empty_archive_is_refused(form: TableForm) -> None:
    assert find_faults(archive({}), form)
