"""What every file for a spreadsheet keeps to: texts stay texts, the same content the same bytes."""

import datetime
import io
import re
import unicodedata
import zipfile
from collections.abc import Iterable
from typing import Final

from openpyxl import Workbook
from openpyxl.writer.excel import ExcelWriter

VERBATIM_MARK: Final = "'"
"""What one types before a text into a spreadsheet, so that it is taken as it stands."""

WRITTEN_AT: Final = datetime.datetime(2000, 1, 1)
"""The date of every workbook: the same content, the same bytes."""

_PACKED_AT: Final = (1980, 1, 1, 0, 0, 0)
"""The date of every part of an archive, the earliest there is."""
_FORMULA_SIGNS: Final = frozenset("=+-@")
# A character by its number (ISO/IEC 29500, ST_Xstring): what XML cannot hold, and what looks so.
_LOOKS_ESCAPED: Final = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_NOT_IN_XML: Final = re.compile("[\ufffe\uffff]")


def is_verbatim(text: str) -> bool:
    """Return whether a spreadsheet might make something else of a text that is not marked.

    A text that begins with one of = + - @, also in full width, is run as a formula by some
    spreadsheets; an apostrophe marks a verbatim text; blanks at the ends may be lost.
    """
    first = unicodedata.normalize("NFKC", text[:1])[:1]
    return first in _FORMULA_SIGNS or first == VERBATIM_MARK or text != text.strip()


def escape_text(text: str) -> str:
    """Return a text as the XML of a workbook holds it."""
    text = _LOOKS_ESCAPED.sub("_x005F_", text)
    return _NOT_IN_XML.sub(lambda match: f"_x{ord(match[0]):04X}_", text)


def save_workbook(workbook: Workbook) -> bytes:
    """Return a workbook as a file that depends on nothing but its content."""
    workbook.properties.creator = "weatherstrip"
    workbook.properties.created = workbook.properties.modified = WRITTEN_AT
    dated = io.BytesIO()
    with zipfile.ZipFile(dated, "w") as archive:
        # Its `save` writes nothing but what is set above; a workbook's own would write the time.
        ExcelWriter(workbook, archive).save()
    with zipfile.ZipFile(dated) as archive:
        return pack((entry.filename, archive.read(entry)) for entry in archive.infolist())


def pack(files: Iterable[tuple[str, bytes]]) -> bytes:
    """Return files as a ZIP archive that depends on nothing but them."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name, content in files:
            entry = zipfile.ZipInfo(name, _PACKED_AT)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, content)
    return packed.getvalue()
