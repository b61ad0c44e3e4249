"""Faults of the policy that concern neither the takeoff nor what it concedes."""

from optimiser.domain.faults import Fault
from optimiser.domain.order import Policy


def find_policy_faults(policy: Policy) -> tuple[Fault, ...]:
    """Return every fault of the policy that does not concern the takeoff."""
    faults: list[Fault] = []
    for name, length_nm in (("kerf", policy.kerf_nm), ("end_trim", policy.end_trim_nm)):
        if length_nm < 0:
            faults.append(
                Fault(
                    ("policy", name),
                    "negative-length",
                    f"The {name.replace('_', ' ')} is {length_nm} nm, below zero; give 0 or more.",
                )
            )
    if not policy.time_limit_seconds > 0:
        faults.append(
            Fault(
                ("policy", "time_limit_seconds"),
                "time-limit-not-positive",
                f"The time limit is {policy.time_limit_seconds} s; give more than 0.",
            )
        )
    return tuple(faults)
