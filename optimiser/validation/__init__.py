"""Whether catalogues, rack and policy can be taken as they stand; the takeoff looks at openings.

`find_faults` names everything at once. Whoever reads orders may hand in the parts that could be
read, and has the faults of those.
"""

from optimiser.domain.faults import Fault
from optimiser.domain.order import Order
from optimiser.validation.catalogue import find_catalogue_faults
from optimiser.validation.concessions import (
    NEEDS_EVERY_ENTRY,
    find_concession_faults,
)
from optimiser.validation.policy import find_policy_faults
from optimiser.validation.rack import find_rack_faults
from optimiser.validation.terms import find_terms_faults

__all__ = ["NEEDS_EVERY_ENTRY", "find_faults"]


def find_faults(order: Order) -> tuple[Fault, ...]:
    """Return every fault of an order's catalogues, rack and policy, each once."""
    return tuple(
        dict.fromkeys(
            (
                *find_catalogue_faults(order),
                *find_terms_faults(order),
                *find_rack_faults(order),
                *find_concession_faults(order),
                *find_policy_faults(order.policy),
            )
        )
    )
