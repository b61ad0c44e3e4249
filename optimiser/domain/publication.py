"""A publication: a document that people read, as blocks of typed data, independent of its form.

Numbers are kept as numbers and never written out here: a count is an `int`, money a `Decimal`, a
length whole nanometres. A form (a page, a sheet, a file) writes them as the edition says.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum

from optimiser.domain.documents import Span


class Language(StrEnum):
    """The locales that documents are written for, as BCP 47 tags; the first one is the default."""

    AMERICAN = "en-US"
    BRITISH = "en-GB"


class LengthsShown(StrEnum):
    """What lengths are written in; with both, that of the order stands first."""

    INCHES = "inches"
    MILLIMETRES = "millimetres"
    BOTH = "both"


class Paper(StrEnum):
    """The sheet that a document is set for: A4 (ISO 216), Letter (8 1/2 × 11 in)."""

    A4 = "a4"
    LETTER = "letter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """What a reader chose: the language, the units of length and the paper."""

    language: Language = Language.AMERICAN
    lengths: LengthsShown = LengthsShown.INCHES
    paper: Paper = Paper.LETTER


class ColumnKind(StrEnum):
    """What the cells of a column hold.

    `TEXT` a `str`, `COUNT` an `int`, `MONEY` a `Decimal` in the column's currency, `LENGTH` an
    `int` in nanometres, `PERCENT` a `Decimal` (12.5 for 12.5 %), `DATE` a `date`.
    """

    TEXT = "text"
    COUNT = "count"
    MONEY = "money"
    LENGTH = "length"
    PERCENT = "percent"
    DATE = "date"


Cell = str | int | Decimal | date | None
"""A value of its column's kind; a `str` in any column is a remark; `None` is an empty cell."""

Row = tuple[Cell, ...]
"""One cell for each column of its table."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column: `name` is stable and the same in every language, `heading` is what people read.

    `currency` is the ISO 4217 code of money.
    """

    name: str
    heading: str
    kind: ColumnKind = ColumnKind.TEXT
    currency: str = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading. The publication's title is level 1, so these begin at 2.

    Where `new_page`, what follows begins on a page of its own.
    """

    level: int
    text: str
    new_page: bool = False


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Sentences that stand together."""

    text: str


@dataclass(frozen=True, slots=True)
class Bullets:
    """Items of a list; `numbered` where their order matters."""

    items: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True, slots=True)
class CautionBlock:
    """Warnings: each with its source."""

    heading: str
    cautions: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartOf:
    """A list that people read in parts, such as one for each mark, and programs as one.

    `name` and `caption` are those of the whole list; in its first column, `column`, every row of
    this part has the cell `part`.
    """

    name: str
    caption: str
    column: Column
    part: Cell


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows below columns, and `totals`, rows that sum up or follow from those above.

    `name` is stable, the same in every language and unique in its publication. All parts of one
    list have the same columns.
    """

    name: str
    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    totals: tuple[Row, ...] = ()
    part_of: PartOf | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BarDiagram:
    """A bar to scale: its spans join without a gap from left to right.

    `text` says the same as the drawing.
    """

    name: str
    caption: str
    stock_nm: int
    spans: tuple[Span, ...]
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperLabel:
    """What stands on each of `copies` labels: the first line is set large."""

    lines: tuple[str, ...]
    copies: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """Labels to print, in their order: on each sheet of paper so many columns and rows."""

    labels: tuple[PaperLabel, ...]
    columns: int = 3
    rows: int = 7

    @property
    def sheets(self) -> Iterator[tuple[PaperLabel, ...]]:
        """Yield the labels of each sheet of paper, every copy on its own."""
        each = [label for label in self.labels for _ in range(label.copies)]
        on_one = self.columns * self.rows
        for first in range(0, len(each), on_one):
            yield tuple(each[first : first + on_one])


class ChartKind(StrEnum):
    """How points are drawn: bars by name, a line over numbers, or shares of a whole."""

    BARS = "bars"
    LINE = "line"
    SHARES = "shares"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """Points to draw: each pairs a cell of `across` with one of `measure`.

    `marked` are places along `across`, each with the words that stand there. `text` says the same
    as the drawing.
    """

    name: str
    caption: str
    kind: ChartKind
    across: Column
    measure: Column
    points: tuple[tuple[Cell, Cell], ...]
    text: str
    marked: tuple[tuple[Cell, str], ...] = ()


Block = Heading | Paragraph | Bullets | CautionBlock | Table | BarDiagram | LabelSheet | Chart


@dataclass(frozen=True, slots=True, kw_only=True)
class Publication:
    """A document: `kind` is its stable name, such as `purchase-list`."""

    kind: str
    title: str
    subtitle: str
    blocks: tuple[Block, ...]
    edition: Edition = field(default_factory=Edition)

    @property
    def language(self) -> Language:
        """Return the language that the document is written in."""
        return self.edition.language

    @property
    def tables(self) -> Iterator[Table]:
        """Yield the tables, in their order."""
        return (block for block in self.blocks if isinstance(block, Table))

    @property
    def longest_bar_nm(self) -> int:
        """Return the length of the longest bar that is drawn, which sets the scale; 1 without."""
        bars = (block.stock_nm for block in self.blocks if isinstance(block, BarDiagram))
        return max(bars, default=1)
