"""From an order to a proved and explained plan: the façade over the other parts."""

from optimiser.planning.make_plan import make_plan

__all__ = ["make_plan"]
