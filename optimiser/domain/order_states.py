"""The states of an order, what may be done in each, and where it leads: the whole table."""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType


class OrderState(StrEnum):
    """How far an order has come."""

    DRAFT = "draft"
    PLANNED = "planned"
    ACCEPTED = "accepted"
    PARTLY_RECEIVED = "partly-received"
    WHOLLY_RECEIVED = "wholly-received"
    CLOSED = "closed"
    WITHDRAWN = "withdrawn"


class OrderAction(StrEnum):
    """What is done to an order.

    `EDIT` changes what is asked for before a plan is accepted. `CHANGE` changes the openings of
    an accepted order where nothing more is bought, `CHANGE_AND_BUY` where something is.
    `RECEIVE_PART` leaves something open, `RECEIVE_REST` nothing. Closing before the rest has
    come gives the rest up.
    """

    EDIT = "edit"
    PLAN = "plan"
    ACCEPT = "accept"
    RECEIVE_PART = "receive-part"
    RECEIVE_REST = "receive-rest"
    CHANGE = "change"
    CHANGE_AND_BUY = "change-and-buy"
    RETURN = "return"
    CLOSE = "close"
    WITHDRAW = "withdraw"


TRANSITIONS: Mapping[OrderState, Mapping[OrderAction, OrderState]] = MappingProxyType(
    {
        OrderState.DRAFT: MappingProxyType(
            {
                OrderAction.EDIT: OrderState.DRAFT,
                OrderAction.PLAN: OrderState.PLANNED,
                OrderAction.WITHDRAW: OrderState.WITHDRAWN,
            }
        ),
        OrderState.PLANNED: MappingProxyType(
            {
                OrderAction.EDIT: OrderState.DRAFT,
                OrderAction.PLAN: OrderState.PLANNED,
                OrderAction.ACCEPT: OrderState.ACCEPTED,
                OrderAction.WITHDRAW: OrderState.WITHDRAWN,
            }
        ),
        OrderState.ACCEPTED: MappingProxyType(
            {
                OrderAction.RECEIVE_PART: OrderState.PARTLY_RECEIVED,
                OrderAction.RECEIVE_REST: OrderState.WHOLLY_RECEIVED,
                OrderAction.CHANGE: OrderState.ACCEPTED,
                OrderAction.CHANGE_AND_BUY: OrderState.ACCEPTED,
                OrderAction.WITHDRAW: OrderState.WITHDRAWN,
            }
        ),
        OrderState.PARTLY_RECEIVED: MappingProxyType(
            {
                OrderAction.RECEIVE_PART: OrderState.PARTLY_RECEIVED,
                OrderAction.RECEIVE_REST: OrderState.WHOLLY_RECEIVED,
                OrderAction.CHANGE: OrderState.PARTLY_RECEIVED,
                OrderAction.CHANGE_AND_BUY: OrderState.PARTLY_RECEIVED,
                OrderAction.RETURN: OrderState.PARTLY_RECEIVED,
                OrderAction.CLOSE: OrderState.CLOSED,
            }
        ),
        OrderState.WHOLLY_RECEIVED: MappingProxyType(
            {
                OrderAction.CHANGE: OrderState.WHOLLY_RECEIVED,
                OrderAction.CHANGE_AND_BUY: OrderState.PARTLY_RECEIVED,
                OrderAction.RETURN: OrderState.WHOLLY_RECEIVED,
                OrderAction.CLOSE: OrderState.CLOSED,
            }
        ),
        OrderState.CLOSED: MappingProxyType({}),
        OrderState.WITHDRAWN: MappingProxyType({}),
    }
)
"""Which action is allowed in which state, and the state that it leads to."""
