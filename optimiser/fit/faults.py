"""What is wrong with the inputs of a calculation of fit."""

from optimiser.domain.faults import Fault, OptimiserError


class FitRejected(OptimiserError):
    """Inputs of a calculation are wrong. `faults` holds all of them, at least one."""

    code = "fit-rejected"

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__("; ".join(fault.message for fault in faults))


def refuse(faults: list[Fault]) -> None:
    """Raise what is wrong, if anything is.

    Raises:
        FitRejected: there are faults.
    """
    if faults:
        raise FitRejected(tuple(faults))
