"""Catalogues as tables for a spreadsheet, and what differs between two of them. Bytes, no files."""

from service.catalogues.cell import TableForm
from service.catalogues.checking import read_catalogue
from service.catalogues.comparing import differences
from service.catalogues.difference_text import render_differences
from service.catalogues.table_files import read_table, write_table

__all__ = [
    "TableForm",
    "differences",
    "read_catalogue",
    "read_table",
    "render_differences",
    "write_table",
]
