"""What purchase orders need beside the plan, and the purchase orders themselves."""

from typing import Annotated

from pydantic import Field, StringConstraints
from typing_extensions import TypeAliasType

from service.wire import limits
from service.wire.base import WireModel
from service.wire.order_to_plan import Order
from service.wire.scalars import NO_CONTROL_CHARACTERS, Name
from service.wire.shown import Amount, Count
from service.wire.stored import Day, Remark

Line = TypeAliasType(
    "Line",
    Annotated[
        str,
        StringConstraints(
            pattern=NO_CONTROL_CHARACTERS, min_length=1, max_length=limits.REFERENCE_CHARACTERS
        ),
        Field(description="One line of text, without control characters."),
    ],
)
OrderId = TypeAliasType(
    "OrderId",
    Annotated[
        str,
        StringConstraints(pattern=NO_CONTROL_CHARACTERS, min_length=1, max_length=60),
        Field(description="What the buyer calls an order by.", examples=["HR-2027-114"]),
    ],
)
_Notes = Annotated[list[Remark], Field(max_length=limits.NOTES, json_schema_extra={"default": []})]


class PartyIdentifier(WireModel):
    """An identifier of a party."""

    id: Line
    scheme: Line | None = None
    """Whose identifier it is, by the codes of ISO/IEC 6523: `0088` for a Global Location
    Number."""


class PostalAddress(WireModel):
    """An address."""

    lines: Annotated[
        list[Line], Field(max_length=limits.ADDRESS_LINES, json_schema_extra={"default": []})
    ] = Field(default_factory=list)
    """Street and house, building, gate."""
    city: Line | None = None
    postal_code: Line | None = None
    region: Line | None = None
    """State, county or province."""
    country: (
        Annotated[str, StringConstraints(pattern=r"^[A-Z]{2}$"), Field(examples=["US", "GB"])]
        | None
    ) = None
    """The country's code by ISO 3166-1, two capital letters."""


class Contact(WireModel):
    """Whom to ask."""

    name: Line | None = None
    telephone: Line | None = None
    email: Annotated[Line, Field(examples=["buying@harbour-row.example"])] | None = None


class Party(WireModel):
    """A buyer or a supplier."""

    name: Line
    ids: Annotated[
        list[PartyIdentifier],
        Field(max_length=limits.PARTY_IDENTIFIERS, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)
    address: PostalAddress | None = None
    contact: Contact | None = None


class RequestedDelivery(WireModel):
    """When goods are wanted, both days included, and where."""

    earliest: Day | None = None
    latest: Day | None = None
    address: PostalAddress | None = None


class OrderedSupplier(WireModel):
    """What the order to one supplier has of its own."""

    supplier: Name
    """The supplier's name, as it stands in the catalogue."""
    order_id: OrderId | None = None
    """Goes before the identifier that all orders share."""
    party: Party | None = None
    """What more is known of the supplier; without it the name alone stands in the order."""
    notes: _Notes = Field(default_factory=list)


class Ordering(WireModel):
    """What purchase orders need beside the plan."""

    order_id: OrderId
    """Where the plan buys from several suppliers, the orders to those that state no identifier of
    their own have `-1`, `-2` behind it, in the order of the plan's shipments."""
    issue_date: Day
    buyer: Party
    delivery: RequestedDelivery | None = None
    suppliers: Annotated[
        list[OrderedSupplier],
        Field(max_length=limits.SUPPLIERS, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)
    """Suppliers that more is known of; others are ordered from by their name alone."""
    notes: _Notes = Field(default_factory=list)
    """Stand in every order."""


class OrderToBuy(Order):
    """A batch of openings to buy for, as for a plan, and what purchase orders need beside it."""

    ordering: Ordering


class PurchaseOrder(WireModel):
    """The order to one supplier."""

    supplier: str
    order_id: str
    currency: str
    lines: Count
    payable: Amount
    """What the supplier is paid: goods, freight and surcharges, before tax."""
    file_name: Annotated[str, Field(examples=["HR-2027-114.xml"])]
    """A name for the file; the ZIP archive has the order under it."""
    xml: str
    """The order as OASIS UBL 2.1 Order."""


class PurchaseOrders(WireModel):
    """The purchase orders of a plan, one for each supplier that it buys from."""

    payable: Amount
    """What all of them come to."""
    currency: str
    purchase_orders: list[PurchaseOrder]
