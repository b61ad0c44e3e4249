"""From a catalogue of the wire to the rows of its tables."""

from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel

from service.catalogues.cell import Cell
from service.catalogues.tables import Column, Rows, Table
from service.wire.catalogue import Catalogue

RowOut = tuple[Cell | None, ...]


def write_rows(table: Table, catalogue: Catalogue) -> Iterator[RowOut]:
    """Yield the rows of a table below its header; a value left to its default is a blank cell."""
    for holder, entry in _find_entries(table, catalogue):
        yield tuple(
            _write_cell(holder if holder and column is table.columns[0] else entry, column)
            for column in table.columns
        )


def _find_entries(
    table: Table, catalogue: Catalogue
) -> Iterator[tuple[BaseModel | None, BaseModel]]:
    """Yield each entry with the article whose SKU stands in its row, if it is of an article."""
    match table.rows:
        case Rows.CATALOGUE:
            yield None, catalogue
        case Rows.ENTRIES:
            yield from ((None, entry) for entry in getattr(catalogue, table.member))
        case Rows.OF_ARTICLES:
            for member in table.of:
                for article in getattr(catalogue, member):
                    yield from ((article, entry) for entry in getattr(article, table.member))
        case Rows.OF_FREIGHT:
            if catalogue.freight is not None:
                yield from ((None, entry) for entry in getattr(catalogue.freight, table.member))


def _write_cell(entry: BaseModel, column: Column) -> Cell | None:
    holder: Any = entry
    for name in column.member[:-1]:
        holder = getattr(holder, name)
        if holder is None:
            return None
    name = column.member[-1]
    field = type(holder).model_fields.get(name)
    value = getattr(holder, name, None)
    # The other form of contents or tiers has another member here.
    if field is None or value is None or value == field.default:
        return None
    return column.kind.write(value)
