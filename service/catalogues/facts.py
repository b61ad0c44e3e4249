"""What a catalogue states of its articles and of itself, fact by fact, so that two can be compared.

A fact has the name of its member, the entry of a list that it is of, the value as it is written,
and its meaning: two facts differ where their meanings do.
"""

from collections.abc import Hashable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any

from pydantic import BaseModel

from optimiser.units.faults import QuantityError
from optimiser.units.lengths import LengthUnit, parse_length
from optimiser.units.masses import HEAVIEST_SHIPMENT_KG, parse_mass
from service.wire.catalogue import Catalogue, FastenerPack, Kit, StandardKit, StockLength
from service.wire.differences import ArticleList
from service.wire.sale_terms import PricePerLength

Article = StockLength | Kit | FastenerPack | StandardKit

_MONEY = frozenset(
    ("price", "base", "per_piece", "per_pack", "charge", "surcharge", "free_from", "least_order")
)
"""Members that are amounts of money; `from_value` tells a tier and is no price."""
_LENGTHS = frozenset(("length", "spacing", "longest_piece", "longer_than"))
_WEIGHTS = frozenset(("unit_weight", "weight", "pack_weight", "from_weight"))
_NUMBERS = frozenset(("percent", "tolerance_percent", "count_per_weight", "from_value"))

_TOLD_BY = {
    "breaks": "from_quantity",
    "discounts": "from_quantity",
    "lengths": "length",
    "over_length": "longer_than",
}
"""The member by which an entry of a list is told; tiers by `from_weight` or `from_value`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One value that a catalogue states. `key` tells it from the others of its article.

    `meaning` is an amount where `is_money`, and whatever can be compared otherwise. `per` is what
    a price per length is for.
    """

    member: str
    entry: str | None
    key: Hashable
    written: str
    meaning: Hashable
    is_money: bool
    per: Hashable = None

    @property
    def amount(self) -> Decimal:
        """Return the amount of a fact that is money."""
        return Decimal(self.written)


def state_article(article: Article) -> dict[Hashable, Fact]:
    """Return the facts of an article but its SKU, by key, in the order of its members."""
    return {fact.key: fact for fact in _walk(article, (), None, (), left_out=("sku",))}


def state_terms(catalogue: Catalogue) -> dict[Hashable, Fact]:
    """Return the facts of a supplier that are of no article, by key."""
    left_out = ("supplier", *ArticleList)
    return {fact.key: fact for fact in _walk(catalogue, (), None, (), left_out=left_out)}


def index_articles(catalogue: Catalogue) -> dict[tuple[ArticleList, str], Article]:
    """Return the articles by list and SKU; of a SKU that stands twice in a list, the first."""
    articles: dict[tuple[ArticleList, str], Article] = {}
    for name in ArticleList:
        for article in getattr(catalogue, name):
            articles.setdefault((name, article.sku), article)
    return articles


def _walk(
    model: BaseModel,
    member: tuple[str, ...],
    entry: str | None,
    key: tuple[Hashable, ...],
    *,
    left_out: tuple[str, ...] = (),
) -> Iterator[Fact]:
    for name in type(model).model_fields:
        value: Any = getattr(model, name)
        inner = (*member, name)
        if name in left_out or value is None:
            continue
        if isinstance(value, BaseModel):
            yield from _walk(value, inner, entry, key)
        elif isinstance(value, list):
            yield from _walk_list(value, inner, key)
        else:
            yield Fact(
                member=".".join(inner),
                entry=entry,
                key=(*key, ".".join(inner)),
                written=f"{value:f}" if isinstance(value, Decimal) else str(value),
                meaning=_mean(name, value),
                is_money=name in _MONEY,
                per=_mean_length(model.length) if isinstance(model, PricePerLength) else None,
            )


def _walk_list(
    entries: list[BaseModel], member: tuple[str, ...], key: tuple[Hashable, ...]
) -> Iterator[Fact]:
    seen: dict[Hashable, int] = {}
    for entry in entries:
        told_by = _TOLD_BY.get(member[-1]) or next(
            name for name in type(entry).model_fields if name.startswith("from_")
        )
        value = getattr(entry, told_by)
        meaning = _mean(told_by, value)
        # Entries that are told by the same are compared in their order.
        seen[meaning] = seen.get(meaning, -1) + 1
        inner = (*key, meaning, seen[meaning])
        yield from _walk(entry, member, str(value), inner, left_out=(told_by,))


def _mean(name: str, value: int | Decimal | str | StrEnum) -> Hashable:
    """Return what a value means; a text that cannot be read means itself."""
    if name in _MONEY or name in _NUMBERS:
        return Decimal(value)
    if name in _LENGTHS and not isinstance(value, StrEnum):
        return _mean_length(value)
    if name in _WEIGHTS:
        try:
            return parse_mass(str(value), zero=True, heaviest_kg=HEAVIEST_SHIPMENT_KG)
        except QuantityError:
            return str(value)
    return value


def _mean_length(value: int | Decimal | str) -> Hashable:
    """Return a length in nanometres; a bare number is in a unit that the catalogue leaves open."""
    read = []
    for unit in LengthUnit:
        try:
            read.append(parse_length(value, unit))
        except QuantityError:
            continue
    if len(read) == len(LengthUnit) and len(set(read)) == 1:
        return read[0]
    return ("bare", tuple(read)) if read else str(value)
