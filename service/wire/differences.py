"""What differs between two catalogues: articles added and removed, prices and terms changed."""

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field, Strict
from typing_extensions import TypeAliasType

from service.wire.base import WireModel
from service.wire.scalars import CurrencyCode, Name
from service.wire.shown import Amount, Count


class ArticleList(StrEnum):
    """The list of a catalogue in which an article stands."""

    STOCK_LENGTHS = "stock_lengths"
    KITS = "kits"
    FASTENER_PACKS = "fastener_packs"
    STANDARD_KITS = "standard_kits"


_List = Annotated[ArticleList, Strict(False)]

SignedPercent = TypeAliasType(
    "SignedPercent",
    Annotated[
        str,
        Field(
            pattern=r"^-?[0-9]+\.[0-9]{2}$",
            description="A percentage, rounded to 0.01, half to even.",
            examples=["2.07", "-12.50"],
        ),
    ],
)


class ComparedCatalogue(WireModel):
    """One of the two catalogues."""

    supplier: Name
    currency: CurrencyCode


class _OfArticle(WireModel):
    supplier: Name
    sku: Annotated[str, Field(examples=["LK-Z"])]
    list: _List
    """The list in which the article stands."""
    described: Annotated[str, Field(examples=["bare kit, interlocking-strip, zinc"])]
    """The article in words."""


class _Added(WireModel):
    kind: Literal["article-added"]
    """The article stands in the later catalogue alone."""


class ArticleAdded(_OfArticle, _Added):
    """An article that the later catalogue has and the earlier one has not."""


class _Removed(WireModel):
    kind: Literal["article-removed"]
    """The article stands in the earlier catalogue alone."""


class ArticleRemoved(_OfArticle, _Removed):
    """An article that the earlier catalogue has and the later one has not."""


class _OfTerm(WireModel):
    supplier: Name
    sku: Annotated[str, Field(examples=["LK-Z"])] | None
    """The article; null for a term of the supplier, such as freight."""
    list: _List | None
    """The list in which the article stands; null for a term of the supplier."""
    described: Annotated[str, Field(examples=["bare kit, interlocking-strip, zinc"])]
    """The article in words, as the later catalogue has it; empty for a term of the supplier."""
    member: Annotated[str, Field(examples=["price.base", "breaks.price", "freight.tiers.charge"])]
    """The member of the catalogue that differs, from the article down."""
    entry: Annotated[str, Field(examples=["12", "10 lb"])] | None
    """Of a list such as price breaks: the quantity, weight, value or length of the entry."""


class _PriceKind(WireModel):
    kind: Literal["price-changed"]
    """An amount of money differs."""


class _TermKind(WireModel):
    kind: Literal["term-changed"]
    """Something other than an amount differs."""


class _Amounts(WireModel):
    before: Amount | None
    """The amount in the currency of the earlier catalogue; null where it states none."""
    after: Amount | None
    """The amount in the currency of the later catalogue; null where it states none."""
    change: Amount | None
    """After less before; null where one of them is null, the currencies differ, or a price per
    length is now for another length."""
    percent: SignedPercent | None
    """The change in per cent of before; null where no change is worked out, or before is 0."""


class PriceChanged(_Amounts, _OfTerm, _PriceKind):
    """A price, charge or value of an article or a supplier that differs."""


class _Values(WireModel):
    before: Annotated[str, Field(examples=["7 ft"])] | None
    """What the earlier catalogue states, as it states it; null where it states nothing."""
    after: Annotated[str, Field(examples=["8 ft"])] | None
    """What the later catalogue states, as it states it; null where it states nothing."""


class TermChanged(_Values, _OfTerm, _TermKind):
    """A length, quantity, weight, name or other term that differs."""


CatalogueChange = TypeAliasType(
    "CatalogueChange",
    Annotated[
        ArticleAdded | ArticleRemoved | PriceChanged | TermChanged,
        Field(discriminator="kind", description="One difference between two catalogues."),
    ],
)


class CatalogueDifferences(WireModel):
    """What differs between two catalogues. What is only written in another way (84 in and 7 ft,
    12.4 and 12.40, another order of the articles) does not differ."""

    before: ComparedCatalogue
    after: ComparedCatalogue
    articles_added: Count
    articles_removed: Count
    articles_changed: Count
    """Articles of which a price or a term differs."""
    changes: list[CatalogueChange]
    """The supplier's terms first, then the articles list by list, in the order of their SKUs;
    of each article its members in the order in which the catalogue has them."""
