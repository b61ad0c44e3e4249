"""Measures the library on one drawn order: the plan itself, or the whole of `make_plan`."""

import statistics
import sys
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

from optimiser.domain.decision import Solution
from optimiser.planning import make_plan
from optimiser.solver import solve_order
from tests.benchmark.measuring import Facts, asked_for, cpu_seconds, peak_mib, tell, timed
from tests.benchmark.order_draws import Draw, count_lengths, count_pieces, draw_order

REPEATS, SHORT_SECONDS = 5, 1.0
Log = list[tuple[float, Decimal | None, Decimal]]


def measure_plan(asked: Facts) -> None:
    """Measure the plan itself: the purchase solved, without alternatives and explanation."""
    order, takeoff = draw_order(Draw(**asked["draw"]))
    demand = takeoff.demand
    tell(pieces=count_pieces(takeoff), lengths=count_lengths(takeoff), sets=len(demand.sets))

    def solve() -> tuple[Solution, Log]:
        log: Log = []
        begun = cpu_seconds()
        solution = solve_order(
            order,
            demand,
            clock=cpu_seconds,
            deadline=begun + asked["limit"],
            progress=lambda cost, bound: log.append((cpu_seconds() - begun, cost, bound)),
        )
        certificate = solution.certificate
        log.append((cpu_seconds() - begun, certificate.cost, certificate.lower_bound))
        return solution, log

    (solution, log), cpu, wall = repeat(solve)
    certificate = solution.certificate
    tell(
        cpu=cpu,
        wall=wall,
        log=log,
        cost=certificate.cost,
        bound=certificate.lower_bound,
        proved=certificate.proved,
        method=certificate.method,
        patterns=certificate.patterns_considered,
        kits=sum(n for supply in solution.decision.supplies for _, n in supply.kits),
        peak_mib=peak_mib(),
    )


def measure_whole_plan(asked: Facts) -> None:
    """Measure `make_plan`: takeoff, plan, alternatives, reasons, tables and re-proof."""
    order, _ = draw_order(Draw(**asked["draw"]))
    policy = replace(order.policy, time_limit_seconds=asked["limit"])
    for name, alternatives in (("bare", False), ("whole", True)):
        wanted = replace(order, policy=replace(policy, alternatives=alternatives))
        plan, cpu, _ = repeat(lambda wanted=wanted: make_plan(wanted, clock=cpu_seconds))
        tell(**{f"{name}_cpu": cpu})
    tell(alternatives=len(plan.alternatives), whole_peak_mib=peak_mib())


def repeat(work: Callable[[], Any]) -> tuple[Any, float, float]:
    """Return the run of median processor time, of several where one is short."""
    runs = [timed(work)]
    while len(runs) < REPEATS and runs[0][1] < SHORT_SECONDS:
        runs.append(timed(work))
    median = statistics.median_low(cpu for _, cpu, _ in runs)
    return next(run for run in runs if run[1] == median)


def main() -> int:
    """Run the measurement that the command line asks for."""
    # What a process does once is not measured.
    make_plan(draw_order(Draw(openings=2, seed=99, keen_kits=True))[0])
    asked = asked_for()
    {"plan": measure_plan, "whole-plan": measure_whole_plan}[asked["what"]](asked)
    return 0


if __name__ == "__main__":
    sys.exit(main())
