"""From one state of an order to the next."""

from optimiser.domain.faults import ActionRefused
from optimiser.domain.order_states import TRANSITIONS, OrderAction, OrderState


def change(state: OrderState, action: OrderAction) -> OrderState:
    """Return the state that an action leads to; the table is `TRANSITIONS`.

    Raises:
        ActionRefused: the state does not allow the action; it names what is allowed.
    """
    following = TRANSITIONS[state].get(action)
    if following is None:
        raise ActionRefused(state, action, allowed_in(state))
    return following


def allowed_in(state: OrderState) -> tuple[OrderAction, ...]:
    """Return the actions that a state allows; none where an order has come to its end."""
    return tuple(TRANSITIONS[state])
