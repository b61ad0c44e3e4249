"""Every error of the library.

OptimiserError
├── OrderRejected          the order cannot be taken as it stands; carries every fault
│   ├── InvalidOrder       a value is wrong: a duplicate mark, an unknown rule set
│   └── NoPlan             the values are fine, but nothing offered can serve the order
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
