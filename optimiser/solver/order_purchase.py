"""Solve the purchase of an order: by prices and multiples alone where that is all there is."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from optimiser.domain.decision import (
    Aim,
    AimProof,
    Certificate,
    Restriction,
    Solution,
)
from optimiser.domain.faults import NoPlanInTime
from optimiser.domain.order import Order
from optimiser.domain.order_terms import is_plain
from optimiser.domain.takeoff import Demand
from optimiser.solver.branching import solve_by_branching
from optimiser.solver.budget import Budget
from optimiser.solver.buying import find_plain_point, formulate_buying, read_buying
from optimiser.solver.cut_charges import fold_cut_charges
from optimiser.solver.memory import Memory
from optimiser.solver.program import Point
from optimiser.solver.purchase import Progress, solve_purchase


def solve_order(
    order: Order,
    demand: Demand,
    *,
    restriction: Restriction = Restriction(),  # noqa: B008
    clock: Callable[[], float] | None = None,
    deadline: float | None = None,
    progress: Progress | None = None,
    memory: Memory | None = None,
    lesser_aims: bool = True,
) -> Solution:
    """Return the cheapest purchase for the demand of an order, with its certificate.

    At `deadline`, in the time of `clock`, the best purchase found is returned with an honest
    bound; without them effort alone is limited and the result depends on the input alone. A
    `memory` of programs solved before makes that faster: the plan costs no more and is proved no
    less for it. Without `lesser_aims` any plan of least cost will do.

    Raises:
        NoPlanInTime: the deadline passed before any plan was found.
        ProgramInfeasible: nothing can serve the demand.
    """
    if restriction.only_supplier is not None:
        chosen = tuple(c for c in order.catalogues if c.supplier == restriction.only_supplier)
        order = replace(order, catalogues=chosen)
    if is_plain(order):
        return solve_purchase(
            demand,
            order.catalogue,
            order.policy,
            restriction=restriction,
            clock=clock,
            deadline=deadline,
            progress=progress,
            memory=memory,
            lesser_aims=lesser_aims,
        )
    formulation = formulate_buying(order, demand, restriction)
    prices = formulation.prices

    program, besides = fold_cut_charges(formulation.program)

    def report(cost: int | None, bound: int) -> None:
        if progress is not None:
            total = None if cost is None else prices.amount(cost + besides)
            progress(total, prices.amount(bound + besides))

    def find_plain(budget: Budget) -> Point | None:
        return find_plain_point(order, demand, restriction, formulation, budget)

    solved = None
    if memory is not None and not lesser_aims:
        solved = memory.look_up(program, None).solved
    if solved is None:
        drops = formulation.drops if lesser_aims else None
        budget = Budget(clock, deadline)
        solved = solve_by_branching(program, budget, report, drops, find_plain=find_plain)
        if solved is None:
            raise NoPlanInTime(order.policy.time_limit_seconds)
        if memory is not None:
            memory.keep(program, solved)
    decision, cost = read_buying(formulation, demand, solved.point)
    bound = min(cost, prices.amount(solved.bound + besides))
    return Solution(
        decision=decision,
        certificate=Certificate(
            cost=cost,
            lower_bound=bound,
            method=solved.method,
            patterns_considered=len(solved.patterns),
            aims=(
                AimProof(aim=Aim.COST, proved=bound == cost),
                AimProof(aim=Aim.DROP, proved=solved.drop_proved),
                AimProof(aim=Aim.PATTERNS, proved=solved.patterns_proved),
            ),
        ),
    )


def foresee(order: Order, demand: Demand, memory: Memory) -> Fraction | None:
    """Return what a memory leaves open of an order, as a share of its cost.

    Zero says that its plan is known and proved; `None` that nothing is known, as for every order
    with terms of buying beyond prices and multiples.

    Raises:
        ProgramInfeasible: nothing can serve the demand.
    """
    if not is_plain(order):
        return None
    written = memory.formulate(demand, order.catalogue, order.policy, Restriction())
    return memory.gap_of(written.program)
