"""Measures what else one would use on one drawn order."""

import sys
from dataclasses import asdict

from tests.benchmark.assignment import Deadline, TooSlow, to_assignment
from tests.benchmark.first_fit import price_first_fit
from tests.benchmark.measuring import asked_for, cpu_seconds, peak_mib, tell, timed
from tests.benchmark.order_draws import Draw, draw_order
from tests.benchmark.rivals import Found, solve_with_cbc, solve_with_cp_sat

MOST_VARIABLES = 2_000_000


def main() -> int:
    """Run the measurement that the command line asks for."""
    asked = asked_for()
    order, takeoff = draw_order(Draw(**asked["draw"]))
    problem = to_assignment(order, takeoff.demand)
    if asked["what"] == "first-fit":
        cents, cpu, wall = timed(lambda: price_first_fit(problem))
        tell(cents=cents, proved=False, cpu=cpu, wall=wall, peak_mib=peak_mib())
        return 0
    tell(variables=problem.variables, too_large=problem.variables > MOST_VARIABLES)
    if problem.variables > MOST_VARIABLES:
        return 0
    solve = {"cp-sat": solve_with_cp_sat, "cbc": solve_with_cbc}[asked["what"]]
    deadline = Deadline(cpu_seconds() + asked["limit"])

    def search() -> Found | None:
        try:
            return solve(problem, deadline)
        except TooSlow:
            return None

    found, cpu, wall = timed(search)
    tell(cpu=cpu, wall=wall, peak_mib=peak_mib(), unwritten=found is None)
    if found is not None:
        tell(**asdict(found))
    return 0


if __name__ == "__main__":
    sys.exit(main())
