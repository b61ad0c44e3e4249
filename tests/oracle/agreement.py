"""One order planned by the library and priced by what shares no code with it: do they agree?"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from optimiser.domain.faults import NoPlan, NoPlanInTime, PlanCheckFailed
from optimiser.planning import make_plan
from tests.oracle.buying_model import UNKNOWN, Infeasible, bracket_buying_cents
from tests.oracle.buying_orders import BuyingOrder
from tests.oracle.buying_to_order import to_order
from tests.oracle.exhaustive_buying import least_buying_cents


@dataclass(frozen=True)
class Planned:
    """Cost and bound of a plan in cents; without a plan both are `None`."""

    cost: int | None
    bound: int | None
    late: bool = False

    @property
    def proved(self) -> bool:
        """Return whether the cost is proved, or that there is no plan."""
        return not self.late and self.cost == self.bound


@dataclass(frozen=True)
class Comparison:
    """What a plan costs beside the model's bracket (`None`: no plan exists) and the exact cost.

    `disagreement` is empty where everything agrees.
    """

    planned: Planned
    bracket: tuple[int, int] | None
    exact: int | None
    disagreement: str = ""

    @property
    def proved_by_both(self) -> bool:
        """Return whether the plan and the model each prove their answer."""
        modelled = self.bracket is None or self.bracket[0] == self.bracket[1]
        return self.planned.proved and modelled


def compare(
    buying: BuyingOrder,
    *,
    effort: float,
    tiny: bool = False,
    clock: Callable[[], float] | None = None,
    seconds: float = 60.0,
) -> Comparison:
    """Plan an order and hold it against the model, and a tiny one against exhaustive search.

    With a `clock` the plan has so many seconds; `effort` is the model's deterministic time.
    """
    try:
        planned = plan(buying, clock=clock, seconds=seconds)
    except PlanCheckFailed as failed:
        return Comparison(Planned(None, None), UNKNOWN, None, f"re-proof: {failed.failures[0]}")
    bracket: tuple[int, int] | None
    try:
        bracket = bracket_buying_cents(buying, effort=effort)
    except Infeasible:
        bracket = None
    exact = least_buying_cents(buying) if tiny else None
    found = Comparison(planned, bracket, exact)
    wrong = [*_against_model(planned, bracket)]
    if tiny:
        wrong += _against_exact(planned, bracket, exact)
    return replace(found, disagreement="; ".join(wrong))


def plan(
    buying: BuyingOrder, *, clock: Callable[[], float] | None = None, seconds: float = 60.0
) -> Planned:
    """Return what the library's plan of an order costs."""
    order = to_order(buying)
    order = replace(order, policy=replace(order.policy, time_limit_seconds=seconds))
    try:
        made = make_plan(order, clock=clock)
    except NoPlanInTime:
        return Planned(None, None, late=True)
    except NoPlan:
        return Planned(None, None)
    bound = made.certificate.lower_bound * 100
    return Planned(_cents(made.total), -int(-bound // 1))


def _cents(amount: object) -> int:
    cents = amount * 100  # type: ignore[operator]
    assert cents == int(cents), f"{amount} is no whole number of cents"
    return int(cents)


def _against_model(planned: Planned, bracket: tuple[int, int] | None) -> list[str]:
    if planned.late or bracket == UNKNOWN:
        return []
    if bracket is None:
        return [] if planned.cost is None else [f"planned at {planned.cost}, no plan exists"]
    lower, upper = bracket
    if planned.cost is None or planned.bound is None:
        return [f"no plan, the model finds one at {upper}"]
    wrong = []
    if planned.cost < lower:
        wrong.append(f"planned at {planned.cost}, below the model's bound of {lower}")
    if planned.bound > upper:
        wrong.append(f"bound of {planned.bound}, above a cost of {upper} that the model finds")
    return wrong


def _against_exact(
    planned: Planned, bracket: tuple[int, int] | None, exact: int | None
) -> list[str]:
    wrong = []
    if planned.cost is None or planned.bound is None or exact is None:
        if not planned.late and (planned.cost is None) != (exact is None):
            wrong.append(f"planned at {planned.cost}, exactly {exact}")
    elif not planned.bound <= exact <= planned.cost:
        wrong.append(f"planned at {planned.bound} to {planned.cost}, exactly {exact}")
    if bracket is None and exact is not None:
        wrong.append(f"the model finds no plan, exactly {exact}")
    elif bracket not in (None, UNKNOWN):
        lower, upper = bracket
        if exact is None or not lower <= exact <= upper:
            wrong.append(f"the model finds {lower} to {upper}, exactly {exact}")
    return wrong
