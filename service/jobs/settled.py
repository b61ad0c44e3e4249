"""An order of the domain, kept as JSON beside the wire's own form.

What is bought beside for a changed order is planned from an order that no request can state: what
is held stands in it as goods at prices too small for money. It is kept as the domain has it.
"""

from typing import Any

from pydantic import TypeAdapter

from optimiser.domain.order import Order
from service.json_text import read_json, write_json
from service.mapping.reading import OrderRequest, read_request
from service.mapping.rule_sets_in import to_rule_sets
from service.wire.order import Order as WireOrder

_MEMBER = "settled"
_SIGN = b'{"settled":'
_ORDER = TypeAdapter(Order)


def write_settled(order: Order, request: bytes) -> str:
    """Return an order to keep; `request` is the kept one whose own rule sets it uses."""
    rule_sets = read_json(request).get("rule_sets", [])
    settled = _ORDER.dump_json(order).decode()
    return f'{{"{_MEMBER}":{settled},"rule_sets":{write_json(rule_sets)}}}'


def is_settled(request: bytes) -> bool:
    """Return whether a kept order has the domain's form."""
    return request.startswith(_SIGN)


def read_kept_request(request: bytes) -> OrderRequest:
    """Return the order that a kept request states, in either form.

    Raises:
        Problem: the wire's form cannot be read by this version of the service.
    """
    if not is_settled(request):
        return read_request(request, WireOrder)
    raw: dict[str, Any] = read_json(request)
    rule_sets, faults = to_rule_sets(raw)
    assert not faults, faults
    order = _ORDER.validate_json(write_json(raw[_MEMBER]))
    return OrderRequest(order=order, rule_sets=rule_sets)


def stated_part(request: bytes) -> bytes:
    """Return what the paths of faults lead into: the request, or the settled order in it."""
    if not is_settled(request):
        return request
    return write_json(read_json(request)[_MEMBER]).encode()
