"""The tables of a catalogue and their columns, as data: the only place where they stand.

Each list of the catalogue is a table. What an article has several of (price breaks, discounts, the
pieces of a standard kit) has a table of its own, whose rows name the article by its SKU: so a
price stays a number in a cell of its own, which a spreadsheet sorts, filters and reckons with.
"""

import re
from dataclasses import dataclass
from enum import Enum, auto
from typing import Final

from service.catalogues.kinds import (
    BASIS,
    BREAK_KIND,
    COUNT,
    MONEY,
    NUMBER_OR_TEXT,
    PERCENT,
    ROUNDING,
    TEXT,
    Kind,
)

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column: its header, the member of the wire under its table's entry, and its kind.

    `also` are further names that people write over it.
    """

    header: str
    member: tuple[str, ...]
    kind: Kind
    also: tuple[str, ...] = ()


class Rows(Enum):
    """What the rows of a table are."""

    CATALOGUE = auto()
    """The catalogue itself: one row."""
    ENTRIES = auto()
    """The entries of a list of the catalogue."""
    OF_ARTICLES = auto()
    """What articles have several of; the first column names the article by its SKU."""
    OF_FREIGHT = auto()
    """What the freight has several of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table: the name of its sheet, what its rows are, the list of the wire, its columns.

    `of` are the lists whose articles may have such rows.
    """

    name: str
    rows: Rows
    member: str
    columns: tuple[Column, ...]
    of: tuple[str, ...] = ()

    @property
    def file(self) -> str:
        """Return the name of the table's CSV file."""
        return f"{self.name.lower().replace(' ', '-')}.csv"


def fold(name: str) -> str:
    """Return the name of a table or column without case, spacing and punctuation."""
    worded = name.casefold().replace("%", " percent ").replace("№", " no ")
    return " ".join(re.split(r"[\W_]+", worded)).strip()


def _column(header: str, member: str, kind: Kind, *also: str) -> Column:
    return Column(header=header, member=tuple(member.split(".")), kind=kind, also=also)


_SKU = _column("SKU", "sku", TEXT, "article", "article no", "article number", "item number",
               "item no", "part no", "part number")  # fmt: skip
_MATERIAL = (_column("Product", "product", TEXT), _column("Finish", "finish", TEXT))
_PRICE = _column("Price", "price", MONEY, "unit price", "price per unit", "price each")
_FROM = _column("From quantity", "from_quantity", COUNT, "quantity from", "from qty", "qty from",
                "quantity", "qty")  # fmt: skip
_LEAST = _column("Least quantity", "least_quantity", COUNT, "minimum quantity", "min quantity",
                 "min qty", "least qty")  # fmt: skip
_AVAILABLE = _column("Available", "available", COUNT, "in stock", "quantity available")
_SALE_TERMS = (
    _column("Sold in multiples of", "sold_in_multiples_of", COUNT, "multiple", "multiples of"),
    _LEAST,
    _AVAILABLE,
    _column("Price breaks apply to", "break_kind", BREAK_KIND, "break kind"),
    _column("Unit weight", "unit_weight", TEXT, "weight", "weight per unit"),
)


def _contents(prefix: str) -> tuple[Column, ...]:
    return (
        _column("Count per pack", f"{prefix}.count", COUNT, "count", "pack of", "pack size"),
        _column("Count per weight", f"{prefix}.count_per_weight", NUMBER_OR_TEXT),
        _column("Weight of that count", f"{prefix}.weight", TEXT),
        _column("Pack weight", f"{prefix}.pack_weight", TEXT),
        _column("Tolerance percent", f"{prefix}.tolerance_percent", PERCENT, "tolerance"),
    )


_BY_THE_UNIT = ("stock_lengths", "fastener_packs", "standard_kits")

TABLES: Final = (
    Table(
        name="Catalogue",
        rows=Rows.CATALOGUE,
        member="",
        columns=(
            _column("Supplier", "supplier", TEXT),
            _column("Currency", "currency", TEXT),
            _column("Least order", "least_order", MONEY, "minimum order", "min order"),
            _column("Freight by", "freight.basis", BASIS, "freight basis"),
            _column("Freight free from", "freight.free_from", MONEY, "free from"),
        ),
    ),
    Table(
        name="Stock lengths",
        rows=Rows.ENTRIES,
        member="stock_lengths",
        columns=(
            _SKU,
            *_MATERIAL,
            _column("Length", "length", NUMBER_OR_TEXT),
            _PRICE,
            _column("Lengths per unit", "bars_per_unit", COUNT, "bars per unit", "bundle of"),
            *_SALE_TERMS,
        ),
    ),
    Table(
        name="Kits",
        rows=Rows.ENTRIES,
        member="kits",
        columns=(
            _SKU,
            *_MATERIAL,
            _column("Base price", "price.base", MONEY),
            _column("Price per length", "price.per_length.price", MONEY),
            _column("Length of that price", "price.per_length.length", NUMBER_OR_TEXT),
            _column("Price per piece", "price.per_piece", MONEY),
            _column("Price per pack", "price.per_pack", MONEY),
            _column("Fastener", "fasteners.fastener", TEXT),
            _column("Spacing", "fasteners.spacing", NUMBER_OR_TEXT, "fastener spacing"),
            *_contents("fasteners.contents"),
            _column("Packs rounded", "fasteners.rounding", ROUNDING, "rounding"),
            _column("Longest piece", "longest_piece", NUMBER_OR_TEXT),
            _LEAST,
            _AVAILABLE,
            _column("Weight per length", "weight.weight", TEXT),
            _column("Length of that weight", "weight.length", NUMBER_OR_TEXT),
        ),
    ),
    Table(
        name="Fastener packs",
        rows=Rows.ENTRIES,
        member="fastener_packs",
        columns=(
            _SKU,
            _column("Fastener", "fastener", TEXT),
            _column("Finish", "finish", TEXT),
            *_contents("contents"),
            _PRICE,
            *_SALE_TERMS,
        ),
    ),
    Table(
        name="Standard kits",
        rows=Rows.ENTRIES,
        member="standard_kits",
        columns=(
            _SKU,
            *_MATERIAL,
            _PRICE,
            _column("Fastener", "fasteners.fastener", TEXT),
            *_contents("fasteners.contents"),
            _column("Packs", "fasteners.packs", COUNT, "packs per kit"),
            *_SALE_TERMS,
        ),
    ),
    Table(
        name="Standard kit pieces",
        rows=Rows.OF_ARTICLES,
        member="lengths",
        of=("standard_kits",),
        columns=(
            _SKU,
            _column("Length", "length", NUMBER_OR_TEXT),
            _column("Count", "count", COUNT, "pieces", "qty", "quantity"),
        ),
    ),
    Table(
        name="Price breaks",
        rows=Rows.OF_ARTICLES,
        member="breaks",
        of=_BY_THE_UNIT,
        columns=(_SKU, _FROM, _PRICE),
    ),
    Table(
        name="Kit discounts",
        rows=Rows.OF_ARTICLES,
        member="discounts",
        of=("kits",),
        columns=(_SKU, _FROM, _column("Percent", "percent", PERCENT, "discount", "percent off")),
    ),
    Table(
        name="Freight tiers",
        rows=Rows.OF_FREIGHT,
        member="tiers",
        columns=(
            _column("From weight", "from_weight", TEXT),
            _column("From value", "from_value", MONEY),
            _column("Charge", "charge", MONEY),
        ),
    ),
    Table(
        name="Over-length",
        rows=Rows.OF_FREIGHT,
        member="over_length",
        columns=(
            _column("Longer than", "longer_than", NUMBER_OR_TEXT),
            _column("Surcharge", "surcharge", MONEY),
        ),
    ),
)
"""Every table in the order in which a file has them."""

ARTICLE_TABLES: Final = {table.member: table for table in TABLES if table.rows is Rows.ENTRIES}
"""The tables of articles by the list of the wire."""
