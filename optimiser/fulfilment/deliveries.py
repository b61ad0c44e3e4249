"""Deliveries: what has arrived is taken off what is open."""

from dataclasses import replace

from optimiser.domain.deliveries import OpenLine, OpenPurchase, Units
from optimiser.domain.faults import DeliveryRejected
from optimiser.fulfilment.lines import LineFinder, change_lines


def receive(purchase: OpenPurchase, delivery: tuple[Units, ...]) -> OpenPurchase:
    """Return the purchase with a delivery received; a SKU may stand in it more than once.

    Raises:
        DeliveryRejected: more than is open, a line that is not bought, a kit in several sizes
            without its mark, a quantity below one; every fault is named, nothing is received.
    """
    finder = LineFinder(purchase, "lines")
    received = finder.add_up(
        delivery,
        lambda line: line.open,
        "over-delivery",
        "receive what is open, and settle the rest with the supplier",
    )
    if finder.faults:
        raise DeliveryRejected(tuple(finder.faults))

    def arrive(line: OpenLine, units: int) -> OpenLine:
        return replace(line, received=line.received + units)

    return change_lines(purchase, received, arrive)
