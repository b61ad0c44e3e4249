"""Columns and rows while they are being written, with prices still in money."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import gcd, lcm

from optimiser.solver.price_grid import PriceGrid, common_measure
from optimiser.solver.program import Column, Row


@dataclass(frozen=True, slots=True, kw_only=True)
class Shipped:
    """What one unit of a column adds to a supplier's shipment.

    `goods` is its value in money, `weight_g` its weight (zero where none is stated), and
    `longest_nm` the longest thing in it.
    """

    supplier: str
    column: int
    goods: Decimal
    weight_g: Fraction = Fraction(0)
    longest_nm: int = 0


class Block:
    """The block of a program: it grows column by column and row by row."""

    def __init__(self) -> None:
        self._columns: list[tuple[str, Decimal, int, bool]] = []
        self._lowers: dict[int, int] = {}
        self.rows: list[Row] = []
        self.shipped: list[Shipped] = []

    def column(self, name: str, price: Decimal, upper: int, *, decisive: bool = False) -> int:
        """Add a column of whole numbers from zero to `upper`; return its position."""
        self._columns.append((name, price, upper, decisive))
        return len(self._columns) - 1

    def limit(self, column: int, lower: int, upper: int) -> None:
        """Set the limits of a column anew."""
        name, price, _, decisive = self._columns[column]
        self._columns[column] = (name, price, upper, decisive)
        self._lowers[column] = lower

    def upper(self, column: int) -> int:
        """Return the upper limit of a column."""
        return self._columns[column][2]

    def row(
        self,
        name: str,
        terms: Iterable[tuple[int, int]],
        *,
        lower: int | None = None,
        upper: int | None = None,
    ) -> None:
        """Add a row."""
        self.rows.append(Row(name=name, terms=tuple(terms), lower=lower, upper=upper))

    def money_row(
        self,
        name: str,
        terms: Iterable[tuple[int, Fraction]],
        *,
        upper: bool = False,
    ) -> None:
        """Add the row Σ terms ≥ 0 (≤ 0 with `upper`), its coefficients scaled to whole ones."""
        listed = [(column, coefficient) for column, coefficient in terms if coefficient]
        if not listed:
            return
        denominator = lcm(*(coefficient.denominator for _, coefficient in listed))
        whole = [(column, int(coefficient * denominator)) for column, coefficient in listed]
        measure = gcd(*(coefficient for _, coefficient in whole))
        scaled = [(column, coefficient // measure) for column, coefficient in whole]
        self.row(name, scaled, lower=None if upper else 0, upper=0 if upper else None)

    def prices(self) -> Iterable[Decimal]:
        """Return the price of every column."""
        return (price for _, price, _, _ in self._columns)

    def columns(self, prices: PriceGrid) -> tuple[Column, ...]:
        """Return the columns, priced on a grid."""
        return tuple(
            Column(
                name=name,
                cost=prices.count(price),
                upper=upper,
                lower=self._lowers.get(column, 0),
                decisive=decisive,
            )
            for column, (name, price, upper, decisive) in enumerate(self._columns)
        )


def grid_of(block: Block, others: Iterable[Decimal]) -> PriceGrid:
    """Return the grid on which every price of a block, and every other one, is whole."""
    return common_measure([*block.prices(), *others])
