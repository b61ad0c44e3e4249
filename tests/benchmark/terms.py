"""Times an order with each term of buying in turn, and says what was proved."""

import argparse
import time

from optimiser.domain.decision import Aim
from optimiser.planning.make_plan import take_off_checked
from optimiser.solver import solve_order
from tests.harbour_row import mixed_order
from tests.harbour_row_terms import TERMS, TOGETHER, with_terms

HELP = "time an order with each term of buying in turn"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the size of the order, the time limit and the terms."""
    parser.add_argument("--openings", type=int, default=10, help="openings of the order")
    parser.add_argument("--sizes", type=int, default=None, help="distinct sizes at most")
    parser.add_argument("--seconds", type=float, default=20.0, help="CPU time of each solve")
    parser.add_argument("terms", nargs="*", help=f"terms, joined by +: {', '.join(TERMS)}")


def run(options: argparse.Namespace) -> int:
    """Solve the plain order and one with each term; print a line for each."""
    wire = mixed_order(options.openings, sizes=options.sizes)
    named = [tuple(name.split("+")) for name in options.terms]
    together = [(), *((name,) for name in TERMS), *TOGETHER]
    print(f"{'terms':44} {'wall s':>7} {'cpu s':>7} {'cost':>10} {'gap':>8}  proved")
    for terms in named or together:
        order = with_terms(wire, *terms)
        demand = take_off_checked(order).demand
        wall, cpu = time.monotonic(), time.process_time()
        certificate = solve_order(
            order, demand, clock=time.process_time, deadline=cpu + options.seconds
        ).certificate
        wall, cpu = time.monotonic() - wall, time.process_time() - cpu
        proved = {proof.aim: proof.proved for proof in certificate.aims}
        aims = " ".join(aim.value for aim in Aim if proved[aim]) or "-"
        print(
            f"{'+'.join(terms) or 'plain':44} {wall:7.2f} {cpu:7.2f} {certificate.cost:10} "
            f"{certificate.gap:8}  {aims}",
            flush=True,
        )
    return 0
