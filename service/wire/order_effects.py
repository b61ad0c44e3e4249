"""What a change of an order did: to its state, to the rack, and to what is open."""

from typing import Annotated, Literal

from pydantic import JsonValue, Strict

from optimiser.domain.order_states import OrderAction, OrderState
from service.wire.base import WireModel
from service.wire.shown import Amount, Count, ShownLength
from service.wire.stored import Moment

_State = Annotated[OrderState, Strict(False)]
_Action = Annotated[OrderAction, Strict(False)]


class RackEntryChange(WireModel):
    """How many of one offcut, or of fasteners of one type and finish, were on the rack."""

    kind: Literal["offcut", "fasteners"]
    name: str
    """The offcut's id, or the fastener with its finish."""
    before: Count
    after: Count


class RackChange(WireModel):
    """What changed on a rack."""

    rack: str
    entries: list[RackEntryChange]


class LineChange(WireModel):
    """How many units of a line were open, and how many lay there (received and not returned)."""

    supplier: str
    sku: str
    made_for: list[str]
    open_before: Count
    open_after: Count
    there_before: Count
    there_after: Count


class ReturnedUnits(WireModel):
    """Units of a SKU that went back, and what is credited for them."""

    supplier: str
    sku: str
    made_for: list[str]
    quantity: Count
    paid_before: Amount
    """What all units of the SKU cost before."""
    paid_after: Amount
    """What those cost that stay, at the price breaks of their number."""
    credit: Amount
    charge: Amount
    """The restocking charge of terms for the SKU."""


class SupplierCredit(WireModel):
    """What one supplier credits: `total` = `credit` − `charge`."""

    supplier: str
    credit: Amount
    charge: Amount
    total: Amount


class ReturnCredit(WireModel):
    """What is credited for what goes back."""

    currency: str
    lines: list[ReturnedUnits]
    suppliers: list[SupplierCredit]
    total: Amount


class OrderEffect(WireModel):
    """What was done to an order, and what that did. The header ETag states its new revision."""

    order_id: str
    action: _Action | Literal["cut"]
    state_before: _State
    state_after: _State
    rack: RackChange | None
    """What changed on the order's rack."""
    lines: list[LineChange]
    """The lines that changed."""
    credit: ReturnCredit | None
    """Of a return: what is credited."""


class Movement(WireModel):
    """A delivery, a cutting or a return, as it was sent."""

    id: str
    kind: Literal["delivery", "cutting", "return"]
    content: dict[str, JsonValue]
    created_at: Moment
    created_by: str


class Movements(WireModel):
    """A page of the movements of an order; the header Link leads to the next one."""

    entries: list[Movement]


class ShortUnits(WireModel):
    """Units of a line that openings lack."""

    supplier: str
    sku: str
    made_for: list[str]
    quantity: Count


class ShortFasteners(WireModel):
    """Fasteners that openings lack."""

    fastener: str
    finish: str | None
    count: Count


class OpeningReadiness(WireModel):
    """One mark: how many of its openings can be finished, and what the others lack."""

    mark: str
    quantity: Count
    ready: Count
    waiting: Count
    goods: list[ShortUnits]
    fasteners: list[ShortFasteners]


class WaitingOpenings(WireModel):
    """Openings of a mark that wait."""

    mark: str
    openings: Count


class LateLine(WireModel):
    """A line that has not wholly arrived, and the openings that it holds up."""

    supplier: str
    sku: str
    made_for: list[str]
    open: Count
    holds_up: list[WaitingOpenings]


class BackOrders(WireModel):
    """Which openings can be finished with what is there; marks stand in the order of priority."""

    ready: Count
    waiting: Count
    openings: list[OpeningReadiness]
    late_lines: list[LateLine]


class AddedPurchase(WireModel):
    """A line that is bought beside."""

    supplier: str
    sku: str
    quantity: Count
    made_for: list[str]
    amount: Amount


class KeptOpenings(WireModel):
    """Openings of a mark that are served by what is made for them already."""

    mark: str
    openings: Count


class LeftOver(WireModel):
    """Something that is bought or cut and that no opening of the changed order needs."""

    kind: Literal["bars", "kits", "pieces", "offcuts", "fasteners"]
    name: str
    """The SKU, the offcut's id, or the fastener with its finish; empty for pieces."""
    length: ShownLength | None
    """Of bars, pieces and offcuts."""
    quantity: Count


class ChangeAccount(WireModel):
    """What a change of an accepted order comes to, in what suppliers are paid.

    `net` = `accepted` + `additional` − the total of `credit`.
    """

    currency: str
    openings: Count
    """Openings of the changed order."""
    unchanged: bool
    """Whether the accepted plan serves the changed openings as it stands."""
    kept: list[KeptOpenings]
    accepted: Amount
    additional: Amount
    """What is bought beside, with freight."""
    purchases: list[AddedPurchase]
    left_over: list[LeftOver]
    credit: ReturnCredit
    """What suppliers would credit for what may go back of it."""
    net: Amount
