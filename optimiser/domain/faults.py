"""Every error of the library.

OptimiserError
├── OrderRejected          the order cannot be taken as it stands; carries every fault
│   ├── InvalidOrder       a value is wrong: a duplicate mark, an unknown rule set
│   └── NoPlan             the values are fine, but nothing offered can serve the order
├── FulfilmentRejected     what is to happen to an accepted order cannot; carries every fault
│   ├── RackRejected       the rack does not hold what is to be taken, or holds something else
│   ├── CutRejected        what is said to be cut is not in the cutting plan
│   ├── DeliveryRejected   what arrived is not what is open
│   ├── PriorityRejected   the order in which openings are to be served names wrong marks
│   ├── ReturnRejected     what is to go back, or the terms of it, cannot be
│   └── DifferenceRejected what is held cannot stand beside the catalogues of the order
├── QuoteRejected          the terms of a quote are wrong; carries every fault
├── ActionRefused          the state of an order does not allow an action
├── NoPlanInTime           the time limit passed before any plan was found
└── PlanCheckFailed        a plan did not survive its re-proof: a defect of this library
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing that is wrong with an order.

    `path` leads to the value in the order, by the names of the wire format: field names and
    zero-based positions. `code` is stable; `message` names the thing, its value, the limit
    and the remedy.
    """

    path: tuple[str | int, ...]
    code: str
    message: str


class OptimiserError(Exception):
    """Root of the library's errors."""

    code = "optimiser-error"


class OrderRejected(OptimiserError):
    """The order cannot be taken as it stands. `faults` holds all of them, at least one."""

    code = "order-rejected"

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__("; ".join(fault.message for fault in faults))


class InvalidOrder(OrderRejected):
    """A value of the order is wrong."""

    code = "invalid-order"


class NoPlan(OrderRejected):
    """Nothing that is offered and allowed can serve the order."""

    code = "no-plan"


class FulfilmentRejected(OptimiserError):
    """What is to happen to an accepted order cannot. `faults` holds all of them, at least one.

    The path of a fault leads to the value in what was handed in: the plan, the delivery, the
    return.
    """

    code = "fulfilment-rejected"

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__("; ".join(fault.message for fault in faults))


class RackRejected(FulfilmentRejected):
    """The rack does not hold what is to be taken from it, or holds something else by its name."""

    code = "rack-rejected"


class CutRejected(FulfilmentRejected):
    """What is said to be cut is not in the cutting plan."""

    code = "cut-rejected"


class DeliveryRejected(FulfilmentRejected):
    """What arrived is not what is open."""

    code = "delivery-rejected"


class PriorityRejected(FulfilmentRejected):
    """The order in which openings are to be served names marks that are not there, or twice."""

    code = "priority-rejected"


class ReturnRejected(FulfilmentRejected):
    """What is to be returned cannot be, or the terms of returns are wrong."""

    code = "return-rejected"


class DifferenceRejected(FulfilmentRejected):
    """What is held cannot stand beside the catalogues or the rack of the order."""

    code = "difference-rejected"


class QuoteRejected(OptimiserError):
    """The terms of a quote are wrong, or too much for its price; carries every fault.

    The path of a fault leads to the value in the terms.
    """

    code = "quote-rejected"

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__("; ".join(fault.message for fault in faults))


class ActionRefused(OptimiserError):
    """The state of an order does not allow an action. `allowed` holds what it does allow."""

    code = "action-refused"

    def __init__(self, state: str, action: str, allowed: tuple[str, ...]) -> None:
        self.state = state
        self.action = action
        self.allowed = allowed
        remedy = f"allowed here: {', '.join(allowed)}" if allowed else "nothing more is allowed"
        super().__init__(f"An order that is {state} does not allow: {action}; {remedy}.")


class NoPlanInTime(OptimiserError):
    """The time limit passed before any plan was found."""

    code = "no-plan-in-time"

    def __init__(self, time_limit_seconds: float) -> None:
        self.time_limit_seconds = time_limit_seconds
        super().__init__(
            f"No plan was found within the time limit of {time_limit_seconds:g} s; "
            "raise policy.time_limit_seconds, or split the order."
        )


class PlanCheckFailed(OptimiserError):
    """A plan did not survive its re-proof. `failures` says what did not hold."""

    code = "plan-check-failed"

    def __init__(self, failures: tuple[str, ...]) -> None:
        self.failures = failures
        super().__init__("The plan failed its own check: " + "; ".join(failures))
