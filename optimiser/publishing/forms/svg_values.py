"""The values of a chart: numbers in its cells, and how they are written beside it."""

from decimal import Decimal
from fractions import Fraction

from optimiser.domain.publication import Cell, Column, ColumnKind, Edition
from optimiser.publishing.figures import write_cell, write_money


def number_in(cell: Cell) -> Fraction | None:
    """Return the number in a cell; `None` where it is empty, a remark or a day."""
    return Fraction(cell) if isinstance(cell, int | Decimal) else None


def write_value(cell: Cell, column: Column, edition: Edition) -> str:
    """Return a cell as it stands in a drawing, where no heading names the currency."""
    if column.kind is ColumnKind.MONEY and isinstance(cell, Decimal):
        return write_money(cell, column.currency, edition.language)
    return write_cell(cell, column, edition)


def write_tick(value: Fraction, column: Column, edition: Edition) -> str:
    """Return a value of an axis as its column is written."""
    if column.kind in {ColumnKind.COUNT, ColumnKind.LENGTH}:
        return write_cell(round(value), column, edition)
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    return write_value(exact, column, edition)
