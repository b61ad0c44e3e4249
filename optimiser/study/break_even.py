"""Break-even points: the values of one number at which the decision flips.

The decision is how many are bought of each SKU, or of the SKUs that are watched. It stays as long
as its plan, at the prices and needs of another value, is still a plan and costs no more than the
cheapest one. The search goes from the low end of the axis to sample after sample; where the
decision has not stayed, it halves the bracket between the last value at which it stayed and the
first at which it had not, by exact solves, down to one step. Then it goes on with the new decision.

Along prices the values at which a plan is the cheapest are one interval, since its cost is a line
and the least cost is concave: no flip between two samples is missed. Along other numbers, such as
a spacing, a decision that goes and comes back between two samples is not seen: take more samples.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal

from optimiser.check import check_plan
from optimiser.domain.break_even import Bought, BreakEven, Flip
from optimiser.domain.decision import Solution
from optimiser.domain.faults import OptimiserError
from optimiser.domain.plan import Plan
from optimiser.domain.study import PointOutcome, StudyRow
from optimiser.planning.assemble import assemble_plan
from optimiser.study.points import Point
from optimiser.study.run import count_purchases, tabulate
from optimiser.study.solve_points import Planned, PointSolver

MOST_FLIPS = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberAxis:
    """A number from `low` to `high` in whole steps, and the point that a value makes.

    `samples` is how many steps of equal width the search goes in. `watched` names the SKUs whose
    numbers are the decision; without it, all are. `money` says that the values are amounts.
    """

    name: str
    low: Decimal
    high: Decimal
    step: Decimal
    make: Callable[[Decimal], Point]
    samples: int = 8
    watched: tuple[str, ...] = ()
    money: bool = False

    @property
    def steps(self) -> int:
        """Return how many steps there are from the low end to the last value."""
        return int((self.high - self.low) // self.step)

    def value(self, steps: int) -> Decimal:
        """Return the value that many steps from the low end."""
        return self.low + steps * self.step


def find_break_evens(
    base: Planned, axis: NumberAxis, solver: PointSolver, *, most_flips: int = MOST_FLIPS
) -> BreakEven:
    """Return where the decision flips along an axis; rows are compared with the base."""
    return _Search(base, axis, solver).run(most_flips)


@dataclass(frozen=True, slots=True)
class _Place:
    """What is known at one value: its row, and the plan where there is one."""

    row: StudyRow
    planned: Planned | None


class _Search:
    def __init__(self, base: Planned, axis: NumberAxis, solver: PointSolver) -> None:
        self.base, self.axis, self.solver = base, axis, solver
        self.places: dict[int, _Place] = {}

    def run(self, most_flips: int) -> BreakEven:
        """Go from sample to sample, and halve where the decision has not stayed."""
        axis, flips = self.axis, list[Flip]()
        samples = max(1, axis.samples)
        ends = sorted({axis.steps * n // samples for n in range(1, samples + 1)} - {0})
        at, decided = 0, self._place(0)
        # Both ends first: what lies between is often settled by them.
        self._place(axis.steps)
        while ends and not self.solver.out_of_time and len(flips) < most_flips:
            if self._stays(decided, ends[0]):
                at = ends.pop(0)
                continue
            low, high = at, ends[0]
            while high - low > 1:
                middle = (low + high) // 2
                if self._stays(decided, middle):
                    low = middle
                else:
                    high = middle
            if self._unknown(high):
                break
            flips.append(self._flip(decided, low, high))
            at, decided = high, self._place(high)
            if at == ends[0]:
                ends.pop(0)
        return BreakEven(
            axis=axis.name,
            low=axis.low,
            high=axis.value(axis.steps),
            step=axis.step,
            flips=tuple(flips),
            curve=tuple((axis.value(n), self.places[n].row) for n in sorted(self.places)),
            searched_to=axis.value(at),
            watched=axis.watched,
            money=axis.money,
        )

    def _place(self, steps: int) -> _Place:
        if steps not in self.places:
            point = self.axis.make(self.axis.value(steps))
            row = tabulate(self.solver, point, self.base.plan)
            planned = None
            if row.outcome is PointOutcome.PLANNED and point.order is not None:
                planned = self.solver.plan(point.order, point.rule_sets)
            self.places[steps] = _Place(row, planned)
        return self.places[steps]

    def _unknown(self, steps: int) -> bool:
        return self._place(steps).row.outcome is PointOutcome.NOT_IN_TIME

    def _stays(self, decided: _Place, steps: int) -> bool:
        """Return whether the decision is still the cheapest at a value."""
        there = self._place(steps)
        if there.planned is None or decided.planned is None:
            return there.planned is decided.planned
        if self._bought(there.planned.plan) == self._bought(decided.planned.plan):
            return True
        cost = price_decision(decided.planned, there.planned)
        return cost is not None and cost <= there.planned.plan.total

    def _bought(self, plan: Plan) -> Bought:
        watched = self.axis.watched
        return tuple(
            (supplier, sku, count)
            for (supplier, sku), count in sorted(count_purchases(plan).items())
            if not watched or sku in watched
        )

    def _flip(self, decided: _Place, low: int, high: int) -> Flip:
        before, after = self._place(low), self._place(high)
        staying = back = None
        if decided.planned is not None and after.planned is not None:
            cost = price_decision(decided.planned, after.planned)
            staying = None if cost is None else cost - after.planned.plan.total
        if before.planned is not None and after.planned is not None:
            back = price_decision(after.planned, before.planned)
        return Flip(
            low=self.axis.value(low),
            high=self.axis.value(high),
            below=None if decided.planned is None else self._bought(decided.planned.plan),
            above=None if after.planned is None else self._bought(after.planned.plan),
            cost_low=before.row.cost,
            cost_high=after.row.cost,
            staying=staying,
            even=back is not None and back == before.row.cost,
            proved=before.row.proved,
        )


def price_decision(decided: Planned, there: Planned) -> Decimal | None:
    """Return what a decision costs in another order; `None` where it is no plan of that order.

    It is drawn up and checked as a plan of the order is.
    """
    order, takeoff = there.order, there.takeoff
    if len(takeoff.demand.sets) != len(decided.plan.decision.supplies):
        return None
    try:
        plan = assemble_plan(
            order,
            takeoff,
            Solution(decision=decided.plan.decision, certificate=there.plan.certificate),
        )
    except (KeyError, OptimiserError):
        # Something that was decided on is not offered any more.
        return None
    certificate = replace(there.plan.certificate, cost=plan.total)
    if plan.total < certificate.lower_bound:
        return None
    failures = check_plan(order, takeoff, replace(plan, certificate=certificate))
    return None if failures else plan.total
