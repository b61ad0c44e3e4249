"""The arithmetic of an order's life after its plan is accepted; see the README beside this file."""

from optimiser.fulfilment.back_orders import allot_goods, put_in_order
from optimiser.fulfilment.cutting import count_cut, opened_by_cutting
from optimiser.fulfilment.deliveries import receive
from optimiser.fulfilment.difference import difference_order
from optimiser.fulfilment.holdings import hold_goods
from optimiser.fulfilment.lines import open_purchase
from optimiser.fulfilment.rack import give_back, leave, put_on, take
from optimiser.fulfilment.returns import return_goods
from optimiser.fulfilment.settlement import retake, settle_difference
from optimiser.fulfilment.states import allowed_in, change

__all__ = [
    "allot_goods",
    "allowed_in",
    "change",
    "count_cut",
    "difference_order",
    "give_back",
    "hold_goods",
    "leave",
    "open_purchase",
    "opened_by_cutting",
    "put_in_order",
    "put_on",
    "receive",
    "retake",
    "return_goods",
    "settle_difference",
    "take",
]
