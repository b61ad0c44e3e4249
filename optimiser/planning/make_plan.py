"""Make a plan: takeoff, obstacles, program, assembly, explanation, re-proof."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from decimal import Decimal

from optimiser.check import check_plan
from optimiser.domain.decision import Restriction, Solution
from optimiser.domain.faults import InvalidOrder, NoPlan, PlanCheckFailed
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.domain.progress import Observer, Phase, Watched
from optimiser.domain.takeoff import Takeoff
from optimiser.explain import (
    applicable_cautions,
    find_limits,
    find_obstacles,
    give_reasons,
    price_alternatives,
)
from optimiser.planning.assemble import assemble_plan, settle_cost
from optimiser.rule_sets import RuleSet
from optimiser.solver import ProgramInfeasible, solve_order
from optimiser.takeoff import take_off
from optimiser.validation import find_faults

MAIN_SHARE = 0.7
"""The share of the time limit that the plan itself may take when alternatives are wanted."""


def make_plan(
    order: Order,
    *,
    rule_sets: Iterable[RuleSet] = (),
    most_lengths: int | None = None,
    clock: Callable[[], float] | None = None,
    observer: Observer | None = None,
) -> Plan:
    """Return the cheapest plan for the order, explained, re-proved and with its certificate.

    `rule_sets` are the user's own, which openings may name beside those of the package.
    `most_lengths` is how many distinct lengths the pieces may have; `None` leaves it open.
    `clock` returns seconds and only ever rises (`time.monotonic`); it makes the time limit of
    the policy hold. Without it the limit is not watched and the result depends on the order
    alone. `observer` is told how far the plan has come; the plan is the same without it.

    Raises:
        InvalidOrder: values of the order are wrong; every fault is named.
        NoPlan: nothing offered and allowed can serve the order; every obstacle is named.
        NoPlanInTime: the time limit passed before any plan was found.
        PlanCheckFailed: the plan did not survive its re-proof; a defect of the library.
    """
    started = clock() if clock else 0.0
    watched = Watched(observer)
    watched.enter(Phase.TAKING_OFF)
    takeoff = take_off_checked(order, rule_sets=rule_sets, most_lengths=most_lengths)
    obstacles = find_obstacles(order, takeoff)
    if obstacles:
        raise NoPlan(obstacles)

    def solve(
        restriction: Restriction,
        *,
        share: float = 1.0,
        learn: Callable[[Decimal | None, Decimal], None] | None = None,
    ) -> Solution:
        deadline = started + share * order.policy.time_limit_seconds if clock else None
        try:
            found = solve_order(
                order,
                takeoff.demand,
                restriction=restriction,
                clock=clock,
                deadline=deadline,
                progress=learn,
            )
        except ProgramInfeasible:
            # Every piece has a supply, but not enough of it, or not on terms that can be met.
            raise NoPlan((find_limits(order, restriction),)) from None
        if found.certificate.proved:
            return found
        return settle_cost(found, assemble_plan(order, takeoff, found).total)

    watched.enter(Phase.SOLVING)
    share = MAIN_SHARE if order.policy.alternatives else 1.0
    solution = solve(Restriction(), share=share, learn=watched.learn)
    watched.learn(solution.certificate.cost, solution.certificate.lower_bound)
    plan = assemble_plan(order, takeoff, solution)
    if order.policy.alternatives:
        watched.enter(Phase.ALTERNATIVES)
        plan = replace(plan, alternatives=price_alternatives(order, takeoff, solution, solve))
    watched.enter(Phase.CHECKING)
    reasons, notices = give_reasons(order, takeoff, plan)
    plan = replace(plan, reasons=reasons, notices=notices, cautions=applicable_cautions(takeoff))
    failures = check_plan(order, takeoff, plan)
    if failures:
        raise PlanCheckFailed(failures)
    return plan


def take_off_checked(
    order: Order, *, rule_sets: Iterable[RuleSet] = (), most_lengths: int | None = None
) -> Takeoff:
    """Return the order's takeoff; the further arguments are those of `take_off`.

    Raises:
        InvalidOrder: openings, catalogue or policy hold wrong values; all are named together.
    """
    faults = list(find_faults(order))
    try:
        takeoff = take_off(order, rule_sets=rule_sets, most_lengths=most_lengths)
    except InvalidOrder as rejected:
        faults.extend(rejected.faults)
    if faults:
        raise InvalidOrder(tuple(dict.fromkeys(faults)))
    return takeoff
