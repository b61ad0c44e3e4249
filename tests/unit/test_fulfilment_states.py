"""Which action is allowed in which state of an order, and where it leads."""

import pytest

from optimiser.domain.faults import ActionRefused
from optimiser.domain.order_states import TRANSITIONS, OrderAction, OrderState
from optimiser.fulfilment import allowed_in, change
from optimiser.render import render_order_state


def test_an_order_goes_from_draft_to_closed() -> None:
    state = OrderState.DRAFT
    went = [state]
    for action in ("plan", "accept", "receive-part", "receive-rest", "close"):
        state = change(state, OrderAction(action))
        went.append(state)
    assert went == ["draft", "planned", "accepted", "partly-received", "wholly-received", "closed"]


def test_every_state_has_its_row_and_every_state_can_be_reached() -> None:
    assert set(TRANSITIONS) == set(OrderState)
    reached = {to for row in TRANSITIONS.values() for to in row.values()}
    assert reached | {OrderState.DRAFT} == set(OrderState)


@pytest.mark.parametrize("state", [OrderState.CLOSED, OrderState.WITHDRAWN])
def test_nothing_follows_the_end(state: OrderState) -> None:
    assert allowed_in(state) == ()
    for action in OrderAction:
        with pytest.raises(ActionRefused, match="nothing more is allowed"):
            change(state, action)


def test_goods_that_have_arrived_keep_an_order_from_being_withdrawn() -> None:
    with pytest.raises(ActionRefused) as refused:
        change(OrderState.PARTLY_RECEIVED, OrderAction.WITHDRAW)
    assert refused.value.state == "partly-received"
    assert refused.value.action == "withdraw"
    assert refused.value.allowed == allowed_in(OrderState.PARTLY_RECEIVED)
    assert str(refused.value) == (
        "An order that is partly-received does not allow: withdraw; allowed here: receive-part, "
        "receive-rest, change, change-and-buy, return, close."
    )


def test_buying_more_reopens_what_was_wholly_received() -> None:
    received = OrderState.WHOLLY_RECEIVED
    assert change(received, OrderAction.CHANGE_AND_BUY) is OrderState.PARTLY_RECEIVED
    assert change(received, OrderAction.CHANGE) is received


def test_a_state_is_told_with_what_may_follow() -> None:
    assert render_order_state(OrderState.PLANNED) == (
        "The order is planned. Allowed now: edit, plan, accept, withdraw.\n"
    )
    assert render_order_state(OrderState.CLOSED) == (
        "The order is closed. Nothing more is allowed.\n"
    )
