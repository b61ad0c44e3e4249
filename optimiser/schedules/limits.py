"""How large a schedule may be. All are choices, no source; they bound memory and time."""

from typing import Final

FILE_BYTES: Final = 16 * 1024 * 1024
"""Bytes of the file as it arrives."""

ROWS: Final = 20_000
"""The last row that may hold anything."""

COLUMNS: Final = 256
"""The last column that may hold anything."""

AREA: Final = 500_000
"""Rows × columns of what a sheet spans: padding costs memory even where cells are empty."""

CELL_CHARACTERS: Final = 2_000
"""Characters of a cell that is read; a quantity has its own, lower limit."""

HEADER_CHARACTERS: Final = 100
"""A longer text names no column."""

OPENINGS: Final = 50_000
"""Openings altogether, the sum of the quantities."""

MARK_CHARACTERS: Final = 64
REMARKS_CHARACTERS: Final = 2_000

ARCHIVE_ENTRIES: Final = 1_000
UNPACKED_BYTES: Final = 64 * 1024 * 1024
"""Bytes of all parts of a workbook, unpacked."""

PACKING_RATIO: Final = 200
"""How many times larger a part may be unpacked; of parts above `RATIO_COUNTS_FROM_BYTES`."""

RATIO_COUNTS_FROM_BYTES: Final = 2 * 1024 * 1024

XML_ELEMENTS: Final = 1_200_000
"""Elements of all parts together: an element takes far more memory than its few bytes."""

XML_ELEMENTS_BESIDE_CELLS: Final = 100_000
"""Elements of a part that holds neither cells nor their texts, and is read as a whole."""

XML_DEPTH: Final = 64

HEADER_WITHIN_ROWS: Final = 100
"""The header is looked for among this many rows that are not blank."""
