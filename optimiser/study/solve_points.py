"""Plans for the points of a study, with what they share kept from one to the next."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from optimiser.check import check_plan
from optimiser.domain.decision import Restriction, Solution
from optimiser.domain.faults import InvalidOrder, NoPlan, OptimiserError, PlanCheckFailed
from optimiser.domain.order import Order, Policy
from optimiser.domain.plan import Plan
from optimiser.domain.takeoff import Takeoff
from optimiser.explain import find_limits, find_obstacles
from optimiser.planning.assemble import assemble_plan, settle_cost
from optimiser.planning.make_plan import take_off_checked
from optimiser.rule_sets import RuleSet
from optimiser.solver import Memory, ProgramInfeasible, foresee, solve_order
from optimiser.validation import find_faults

UNREAD = Policy()
"""The takeoff does not read the fields that are set to these values before it is looked up."""

MOST_PLANS, MOST_TAKEOFFS = 200, 50
"""The most that are kept: a study may have 10,000 points."""


@dataclass(frozen=True, slots=True)
class Planned:
    """The plan of an order with what it was made of."""

    order: Order
    takeoff: Takeoff
    plan: Plan


class PointSolver:
    """Plans orders one after the other; the plan of an order depends on those before it.

    It costs no more for that, and is proved no less: of plans of one cost another may be found.
    `deadline`, in the time of `clock`, ends them all; without a clock effort alone is limited.
    """

    def __init__(
        self,
        *,
        most_lengths: int | None = None,
        clock: Callable[[], float] | None = None,
        deadline: float | None = None,
    ) -> None:
        self._most_lengths = most_lengths
        self._clock, self._deadline = clock, deadline
        self._memory = Memory()
        self._takeoffs: dict[object, Takeoff] = {}
        self._plans: dict[object, Planned | OptimiserError] = {}

    @property
    def out_of_time(self) -> bool:
        """Return whether the time of the whole study has passed."""
        if self._clock is None or self._deadline is None:
            return False
        return self._clock() >= self._deadline

    def plan(
        self, order: Order, rule_sets: tuple[RuleSet, ...] = (), *, lesser_aims: bool = False
    ) -> Planned:
        """Return the plan of an order, without alternatives, reasons, notices and cautions.

        Raises:
            OptimiserError: as `make_plan`.
        """
        order = replace(order, policy=replace(order.policy, alternatives=False))
        key = (order, rule_sets, lesser_aims)
        if key not in self._plans:
            try:
                self._plans[key] = self._make(order, rule_sets, lesser_aims)
            except OptimiserError as error:
                if self.out_of_time:
                    raise
                self._plans[key] = error
            if len(self._plans) > MOST_PLANS:
                del self._plans[next(iter(self._plans))]
        known = self._plans[key]
        if isinstance(known, OptimiserError):
            raise known
        return known

    def open_share(self, order: Order, rule_sets: tuple[RuleSet, ...] = ()) -> Fraction | None:
        """Return what is open of an order before it is solved, as a share of its cost.

        Zero says that it is settled by those before it, `None` that nothing is known of it.
        """
        order = replace(order, policy=replace(order.policy, alternatives=False))
        try:
            return foresee(order, self._take_off(order, rule_sets).demand, self._memory)
        except OptimiserError:
            # Whatever is wrong is told when it is planned.
            return None

    def _make(self, order: Order, rule_sets: tuple[RuleSet, ...], lesser_aims: bool) -> Planned:
        takeoff = self._take_off(order, rule_sets)
        obstacles = find_obstacles(order, takeoff)
        if obstacles:
            raise NoPlan(obstacles)
        solution = self._solve(order, takeoff, lesser_aims)
        plan = assemble_plan(order, takeoff, solution)
        if not solution.certificate.proved:
            solution = settle_cost(solution, plan.total)
            plan = replace(plan, certificate=solution.certificate)
        failures = check_plan(order, takeoff, plan)
        if failures:
            raise PlanCheckFailed(failures)
        return Planned(order, takeoff, plan)

    def _solve(self, order: Order, takeoff: Takeoff, lesser_aims: bool) -> Solution:
        deadline = None
        if self._clock is not None:
            deadline = self._clock() + order.policy.time_limit_seconds
            deadline = deadline if self._deadline is None else min(deadline, self._deadline)
        try:
            return solve_order(
                order,
                takeoff.demand,
                clock=self._clock,
                deadline=deadline,
                memory=self._memory,
                lesser_aims=lesser_aims,
            )
        except ProgramInfeasible:
            raise NoPlan((find_limits(order, Restriction()),)) from None

    def _take_off(self, order: Order, rule_sets: tuple[RuleSet, ...]) -> Takeoff:
        policy = replace(
            order.policy,
            kerf_nm=UNREAD.kerf_nm,
            end_trim_nm=UNREAD.end_trim_nm,
            allow_kits=UNREAD.allow_kits,
            allow_cutting=UNREAD.allow_cutting,
            cut_charge=UNREAD.cut_charge,
            keep_drops=UNREAD.keep_drops,
            substitutions=UNREAD.substitutions,
            time_limit_seconds=UNREAD.time_limit_seconds,
        )
        key = (order.openings, order.unit, policy, rule_sets)
        if key not in self._takeoffs:
            self._takeoffs[key] = take_off_checked(
                order, rule_sets=rule_sets, most_lengths=self._most_lengths
            )
            if len(self._takeoffs) > MOST_TAKEOFFS:
                del self._takeoffs[next(iter(self._takeoffs))]
        else:
            faults = find_faults(order)
            if faults:
                raise InvalidOrder(faults)
        return self._takeoffs[key]
