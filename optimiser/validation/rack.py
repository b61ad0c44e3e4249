"""Faults of the rack."""

from collections.abc import Iterator

from optimiser.domain.faults import Fault
from optimiser.domain.order import Order, articles_of
from optimiser.domain.repeats import find_repeated_ids
from optimiser.units.lengths import format_length


def find_rack_faults(order: Order) -> tuple[Fault, ...]:
    """Return every fault of what is said to be on hand."""
    return (*_offcuts(order), *_on_hand(order))


def _offcuts(order: Order) -> Iterator[Fault]:
    yield from find_repeated_ids(
        (article.sku for catalogue in order.catalogues for article in articles_of(catalogue)),
        ((n, offcut.id) for n, offcut in enumerate(order.rack.offcuts)),
    )
    for n, offcut in enumerate(order.rack.offcuts):
        path = ("rack", "offcuts", n)
        if offcut.length_nm <= 0:
            yield Fault(
                (*path, "length"),
                "length-not-positive",
                f"Offcut {offcut.id}: the length is {format_length(offcut.length_nm, order.unit)}; "
                "give more than 0.",
            )
        for name, value in (("quantity", offcut.quantity), ("value", offcut.value)):
            if value < 0:
                yield Fault(
                    (*path, name),
                    "below-least",
                    f"Offcut {offcut.id}: the {name} is {value}; give 0 or more.",
                )


def _on_hand(order: Order) -> Iterator[Fault]:
    seen = set()
    for n, held in enumerate(order.rack.fasteners):
        path = ("rack", "fasteners", n)
        key = (held.fastener, held.finish)
        if key in seen:
            yield Fault(
                (*path, "fastener"),
                "repeated-fastener",
                f"{held.fastener} on hand stands twice; give one entry with the whole count.",
            )
        seen.add(key)
        if held.count < 0 or held.value < 0:
            yield Fault(
                (*path, "count" if held.count < 0 else "value"),
                "below-least",
                f"{held.fastener} on hand: count {held.count}, value {held.value}; give 0 or more.",
            )
        if order.policy.fasteners_match_finish and held.finish is None:
            yield Fault(
                (*path, "finish"),
                "finish-missing",
                f"{held.fastener} on hand: the policy asks for fasteners that match the finish, "
                "but none is stated; give it, or set policy.fasteners_match_finish to false.",
            )
