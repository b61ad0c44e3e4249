"""The re-proof of a plan, without the solver and without the code that made the plan."""

from optimiser.check.check_plan import check_plan

__all__ = ["check_plan"]
