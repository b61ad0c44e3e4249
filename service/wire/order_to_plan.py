"""The order as a service takes it: what it keeps may stand in it by reference."""

from typing import Annotated, Any

from pydantic import Discriminator, Field, Tag
from typing_extensions import TypeAliasType

from service.wire import limits
from service.wire.catalogue import Catalogue
from service.wire.order import Order as OrderByValue
from service.wire.order import TakeoffOrder as TakeoffOrderByValue
from service.wire.rule_set_document import RuleSetDocument
from service.wire.stored import StoredReference


def _how(value: Any) -> str:
    by_reference = "stored" in value if isinstance(value, dict) else False
    return "reference" if by_reference or isinstance(value, StoredReference) else "value"


CatalogueOrReference = TypeAliasType(
    "CatalogueOrReference",
    Annotated[
        Annotated[Catalogue, Tag("value")] | Annotated[StoredReference, Tag("reference")],
        Discriminator(_how),
    ],
)
RuleSetOrReference = TypeAliasType(
    "RuleSetOrReference",
    Annotated[
        Annotated[RuleSetDocument, Tag("value")] | Annotated[StoredReference, Tag("reference")],
        Discriminator(_how),
    ],
)


class Order(OrderByValue):
    """A batch of openings, the catalogues to buy from, and the policy.

    The quantities of all openings may add up to 50,000, and the pieces may have 5,000 distinct
    lengths. Catalogues and rule sets that the service keeps may be named instead of sent.
    """

    rule_sets: Annotated[
        list[RuleSetOrReference],
        Field(max_length=limits.RULE_SETS, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)  # type: ignore[assignment]
    """Rule sets of your own, which openings name as they name the built-in ones."""
    catalogues: Annotated[  # type: ignore[assignment]
        list[CatalogueOrReference], Field(min_length=1, max_length=limits.SUPPLIERS)
    ]
    """What may be bought: one catalogue for each supplier, all in one currency. The plan buys
    from one or from several of them, whichever costs less with freight."""


class TakeoffOrder(TakeoffOrderByValue):
    """A batch of openings to take off: an order whose catalogues may be left out."""

    rule_sets: Annotated[
        list[RuleSetOrReference],
        Field(max_length=limits.RULE_SETS, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)  # type: ignore[assignment]
    """Rule sets of your own, which openings name as they name the built-in ones."""
    catalogues: Annotated[
        list[CatalogueOrReference],
        Field(max_length=limits.SUPPLIERS, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)  # type: ignore[assignment]
    """Read and checked where they are given, and otherwise not used."""
