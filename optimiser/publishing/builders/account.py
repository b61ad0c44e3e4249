"""What suppliers are paid by a plan, and what is only weighed beside it, as readers see it.

In the plan for a changed order, what is already bought stands as goods of one more supplier at
prices that no one pays (see `optimiser.fulfilment.bar_prices`): here they are weighed.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from optimiser.domain.account import AccountKind
from optimiser.domain.difference import ALREADY_BOUGHT
from optimiser.domain.plan import Plan
from optimiser.domain.shipment import Shipment

HELD = "held"
"""The name of what is already bought, beside the kinds of the account."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadLine:
    """A line of the account as readers see it: its name, its amount, whether it is paid."""

    name: str
    amount: Decimal
    paid: bool


def shipments_paid(plan: Plan) -> tuple[Shipment, ...]:
    """Return the shipments that suppliers are paid for."""
    return tuple(one for one in plan.shipments if one.supplier != ALREADY_BOUGHT)


def paid_in_all(plan: Plan) -> Decimal:
    """Return what all suppliers together are paid."""
    return sum((shipment.total for shipment in shipments_paid(plan)), Decimal(0))


def read_account(plan: Plan) -> Iterator[ReadLine]:
    """Yield the lines of the account that are not zero: together they come to the plan's total."""
    held: dict[str, Decimal] = {}
    for line in plan.purchases:
        if line.supplier == ALREADY_BOUGHT:
            held[line.kind] = held.get(line.kind, Decimal(0)) + line.amount
    for kind in plan.account:
        amount = kind.amount - held.get(kind.kind, Decimal(0))
        if amount:
            yield ReadLine(name=AccountKind(kind.kind), amount=amount, paid=kind.paid)
    if held:
        yield ReadLine(name=HELD, amount=sum(held.values(), Decimal(0)), paid=False)
