"""Read an order from the bytes of a request or a file, with every fault at once."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from optimiser.domain.faults import Fault
from optimiser.domain.order import Order
from optimiser.rule_sets import RuleSet
from service.json_text import MalformedJson, read_json
from service.mapping.faults import FaultGatherer
from service.mapping.order_in import to_order
from service.mapping.rule_sets_in import to_rule_sets
from service.mapping.sound_parts import find_every_fault
from service.mapping.validation import validate
from service.problems import INVALID_ORDER, MALFORMED_JSON, Problem, count_faults
from service.wire import limits
from service.wire.order import Order as WireOrder
from service.wire.order import TakeoffOrder


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRequest:
    """An order, and the user's own rule sets that came with it."""

    order: Order
    rule_sets: tuple[RuleSet, ...] = ()


def read_order(
    body: bytes,
    model: type[WireOrder] | type[TakeoffOrder],
    *,
    longest_time_limit_seconds: float = limits.LONGEST_TIME_LIMIT_SECONDS,
    further: Callable[[Any, FaultGatherer], None] | None = None,
) -> Order:
    """Return the order that a JSON text states, without the rule sets that it brings.

    Raises:
        Problem: as `read_request`.
    """
    return read_request(
        body,
        model,
        longest_time_limit_seconds=longest_time_limit_seconds,
        further=further,
    ).order


def read_request(
    body: bytes,
    model: type[WireOrder] | type[TakeoffOrder],
    *,
    longest_time_limit_seconds: float = limits.LONGEST_TIME_LIMIT_SECONDS,
    further: Callable[[Any, FaultGatherer], None] | None = None,
) -> OrderRequest:
    """Return the order that a JSON text states, with the rule sets that it brings.

    `further` reads what the model has beyond an order, with a gatherer of its own.

    Raises:
        Problem: malformed JSON, or an invalid order; every fault that can be told is listed.
    """
    try:
        raw = read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None
    return read_decoded(
        raw, model, longest_time_limit_seconds=longest_time_limit_seconds, further=further
    )


def read_decoded(
    raw: Any,
    model: type[WireOrder] | type[TakeoffOrder],
    *,
    longest_time_limit_seconds: float = limits.LONGEST_TIME_LIMIT_SECONDS,
    further: Callable[[Any, FaultGatherer], None] | None = None,
) -> OrderRequest:
    """Return the order that a decoded JSON value states, as `read_request` does.

    Raises:
        Problem: an invalid order; every fault that can be told is listed.
    """
    validated = validate(model, raw)
    form_faults: list[Fault] = []
    if isinstance(validated, list):
        form_faults = validated
    else:
        gatherer = FaultGatherer(raw)
        order = to_order(validated, gatherer, longest_time_limit_seconds=longest_time_limit_seconds)
        rule_sets, of_rule_sets = to_rule_sets(raw)
        beyond = FaultGatherer(raw)
        if further is not None:
            further(validated, beyond)
        if not gatherer.faults and not beyond.faults and not of_rule_sets:
            return OrderRequest(order=order, rule_sets=rule_sets)
        form_faults = beyond.faults
    raise invalid_order(
        find_every_fault(
            raw,
            form_faults,
            buys=issubclass(model, WireOrder),
            longest_time_limit_seconds=longest_time_limit_seconds,
        )
    )


def invalid_order(faults: list[Fault]) -> Problem:
    """Return the problem of an order with these faults."""
    return Problem(INVALID_ORDER, count_faults(tuple(faults)), faults=faults)
