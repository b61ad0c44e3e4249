"""Orders that the service keeps: what is asked for, how far it has come, and what was done."""

from typing import Annotated, ClassVar

from pydantic import Field, Strict

from optimiser.domain.deliveries import Receipt
from optimiser.domain.order_states import OrderAction, OrderState
from optimiser.domain.plan import PurchaseKind
from service.wire import limits
from service.wire.base import WireModel
from service.wire.opening import Opening
from service.wire.order_to_plan import Order
from service.wire.scalars import NO_CONTROL_CHARACTERS, Money, Name, Percent, Sku
from service.wire.shown import Count
from service.wire.stored import Moment, Remark, StoredName

_State = Annotated[OrderState, Strict(False)]
_Action = Annotated[OrderAction, Strict(False)]
_Receipt = Annotated[Receipt, Strict(False)]
_Kind = Annotated[PurchaseKind, Strict(False)]
_Units = Annotated[int, Field(ge=1, le=limits.UNITS)]


class ReturnTerms(WireModel):
    """What a supplier asks for goods that come back.

    With a SKU the terms hold for that SKU alone, and go before those of its supplier. The charge
    is the percentage of the credit and the amount beside it, and at most the credit.
    """

    supplier: Name
    sku: Sku | None = None
    percent: Percent = 0
    """Restocking charge in per cent of the credit."""
    amount: Money = "0"
    """Restocking charge beside it: for a SKU on each return of it, for a supplier once on each
    return."""
    returnable: bool | None = None
    """Whether whole units may go back. Null leaves it at what is usual: bars that are not cut,
    unopened packs and standard kits may, kits that are made to measure may not."""


class OrderContent(WireModel):
    """What is asked for, and how it is to be served."""

    reference: Annotated[
        str, Field(max_length=200, pattern=NO_CONTROL_CHARACTERS, examples=["PO 2027-114"])
    ] = ""
    """A name of your own."""
    order: Order
    rack: StoredName | None = None
    """The rack that is kept under this name is taken from; the order then states none itself."""
    priority: Annotated[
        list[Name], Field(max_length=limits.OPENINGS, json_schema_extra={"default": []})
    ] = Field(default_factory=list)
    """Marks of openings, those to finish first in front, for when goods come in parts. Marks that
    are not named follow in the order of the schedule."""
    return_terms: Annotated[
        list[ReturnTerms], Field(max_length=limits.LINES, json_schema_extra={"default": []})
    ] = Field(default_factory=list)
    """The terms on which suppliers take goods back."""


class Acceptance(WireModel):
    """The plan that is accepted. It must be the one that stands for the order now."""

    plan_id: Annotated[str, Field(min_length=1, max_length=64, pattern=NO_CONTROL_CHARACTERS)]


class UnitsOfLine(WireModel):
    """Units of a SKU, as sold."""

    supplier: Name
    sku: Sku
    quantity: _Units
    mark: Name | None = None
    """One of the marks that a made-to-measure kit is made for. Needed where kits of the SKU are
    bought in several sizes."""


_Lines = Annotated[list[UnitsOfLine], Field(min_length=1, max_length=limits.LINES)]


class Delivery(WireModel):
    """What has arrived."""

    lines: _Lines
    remark: Remark = ""


class Return(WireModel):
    """What goes back."""

    lines: _Lines
    used: Annotated[
        list[UnitsOfLine], Field(max_length=limits.LINES, json_schema_extra={"default": []})
    ] = Field(default_factory=list)
    """Units that are begun, such as opened packs, beside what cutting has opened."""
    remark: Remark = ""


class CutBarsOfPattern(WireModel):
    """Bars that are cut by one pattern of the plan."""

    pattern: Annotated[
        str,
        Field(min_length=1, max_length=64, pattern=NO_CONTROL_CHARACTERS, examples=["P1"]),
    ]
    """The pattern's name in the plan."""
    bars: _Units


class Cutting(WireModel):
    """Bars that are cut, beside those that were cut before."""

    cut: Annotated[list[CutBarsOfPattern], Field(min_length=1, max_length=limits.LINES)]
    remark: Remark = ""


class Closing(WireModel):
    """How an order is closed."""

    leave_on_rack: bool = True
    """Whether the drops that the plan keeps, bars left whole and spare fasteners go on the order's
    rack, where it has one. Where goods are still open, only drops of bars that are cut do."""
    remark: Remark = ""


class Withdrawal(WireModel):
    """Why an order is withdrawn."""

    remark: Remark = ""


class ChangedOpenings(WireModel):
    """All openings that an accepted order is to have."""

    openings: Annotated[list[Opening], Field(min_length=1, max_length=limits.OPENINGS)]


class PurchasedLine(WireModel):
    """What is bought of one SKU, in units as sold. `open` = `ordered` − `received`."""

    supplier: Name
    sku: str
    kind: _Kind
    made_for: list[str]
    """Of a made-to-measure kit: the marks that it is made for."""
    ordered: Count
    received: Count
    returned: Count
    open: Count


class PendingChange(WireModel):
    """A change of an accepted order that is not accepted yet."""

    job_id: str | None
    """The job that plans what is to be bought beside; null where nothing has to be planned."""
    plan_id: str | None
    """The plan of what is bought beside; null until it is there, or where none is needed."""
    ready: bool
    """Whether the change can be accepted."""


class OrderSummary(WireModel):
    """An order that the service keeps, in short."""

    id: str
    reference: str
    state: _State
    plan_id: str | None
    created_at: Moment
    changed_at: Moment


class OrderList(WireModel):
    """A page of the orders; the header Link leads to the next one."""

    entries: list[OrderSummary]


class KeptOrder(OrderContent):
    """An order that the service keeps, as it was sent. The header ETag states its revision."""

    answered_as_sent: ClassVar[bool] = True

    id: str
    state: _State
    allowed: list[_Action]
    """What may be done to it now."""
    job_id: str | None
    """The job that was last asked to plan it, until the order is edited."""
    plan_id: str | None
    """The plan that stands for the order as it is now."""
    plan: Annotated[str | None, Field(examples=["/v1/plans/0c5e6a2f9f2d4b7f8e1b8f7d3f0f6f3a"])]
    """Where that plan is."""
    accepted_plan_ids: list[str]
    """The plans that were accepted: the first, and one for each change that bought something."""
    pending_change: PendingChange | None
    receipt: _Receipt | None
    """How much has arrived; null before a plan is accepted."""
    lines: list[PurchasedLine]
    """What is bought; empty before a plan is accepted."""
    created_at: Moment
    changed_at: Moment
