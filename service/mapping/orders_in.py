"""Reading what is asked of an order that the service keeps, with every fault at once."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeVar

from optimiser.domain.deliveries import CutBars, Units
from optimiser.domain.faults import Fault
from optimiser.domain.returns import ReturnTerms
from optimiser.units.faults import quote
from service.json_text import MalformedJson, read_json, write_json
from service.mapping.validation import validate
from service.problems import MALFORMED_JSON, Problem, count_faults
from service.resource_problems import INVALID_CONTENT
from service.wire import orders as wire
from service.wire.base import WireModel

M = TypeVar("M", bound=WireModel)


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedOrder:
    """An order as it was sent: `raw` with references; `terms` is what stands beside it."""

    content: wire.OrderContent
    raw: dict[str, Any]
    terms: dict[str, Any]

    @property
    def body(self) -> str:
        """Return the order with its references, as it is kept."""
        return write_json(self.raw)


def read_content(body: bytes) -> StatedOrder:
    """Return what a request asks to keep as an order.

    Raises:
        Problem: malformed JSON or an invalid content; every fault of form is listed.
    """
    raw = _read(body)
    validated = validate(wire.OrderContent, raw)
    if isinstance(validated, list):
        raise invalid_content(validated)
    faults = []
    if validated.rack is not None and raw["order"].get("rack"):
        faults.append(
            Fault(
                ("order", "rack"),
                "two-racks",
                f"order.rack states what is on hand, and rack names {validated.rack!r}; leave one "
                "of them out.",
            )
        )
    faults += _find_faults_of_terms(validated)
    if faults:
        raise invalid_content(faults)
    terms = {name: raw[name] for name in ("priority", "return_terms") if name in raw}
    return StatedOrder(content=validated, raw=raw["order"], terms=terms)


def read_stated(body: bytes, model: type[M]) -> M:
    """Return what a request states; an empty body is an empty object.

    Raises:
        Problem: malformed JSON or an invalid content; every fault is listed.
    """
    validated = validate(model, _read(body))
    if isinstance(validated, list):
        raise invalid_content(validated)
    return validated


def with_rack(raw: dict[str, Any], rack: str | None) -> bytes:
    """Return an order as JSON; `rack` is what is on hand, as it is kept."""
    return write_json(raw if rack is None else {**raw, "rack": read_json(rack.encode())}).encode()


def to_units(lines: Iterable[wire.UnitsOfLine]) -> tuple[Units, ...]:
    """Return units as the library takes them."""
    return tuple(
        Units(supplier=line.supplier, sku=line.sku, quantity=line.quantity, mark=line.mark)
        for line in lines
    )


def to_cut(cut: Iterable[wire.CutBarsOfPattern]) -> tuple[CutBars, ...]:
    """Return bars that are cut as the library takes them."""
    return tuple(CutBars(pattern=bars.pattern, bars=bars.bars) for bars in cut)


def to_return_terms(terms: Iterable[wire.ReturnTerms]) -> tuple[ReturnTerms, ...]:
    """Return terms of returns as the library takes them."""
    return tuple(
        ReturnTerms(
            supplier=stated.supplier,
            sku=stated.sku,
            percent=Decimal(stated.percent),
            amount=Decimal(stated.amount),
            returnable=stated.returnable,
        )
        for stated in terms
    )


def invalid_content(faults: Iterable[Fault]) -> Problem:
    """Return the problem of a content with these faults."""
    named = tuple(faults)
    return Problem(INVALID_CONTENT, count_faults(named), faults=named)


def under(member: str, faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Return faults of what stands in a member, with paths from the whole body."""
    return tuple(Fault((member, *f.path), f.code, f.message) for f in faults)


def _read(body: bytes) -> Any:
    try:
        return read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None


def _find_faults_of_terms(content: wire.OrderContent) -> list[Fault]:
    seen: set[tuple[str, str | None]] = set()
    faults = []
    for position, stated in enumerate(content.return_terms):
        key = stated.supplier, stated.sku
        if key in seen:
            whose = stated.sku or stated.supplier
            faults.append(
                Fault(
                    ("return_terms", position),
                    "repeated-terms",
                    f"Terms of return of {quote(whose)} are stated twice; state them once.",
                )
            )
        seen.add(key)
    return faults
