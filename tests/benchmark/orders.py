"""Generated Harbour Row orders: planned, proved and timed, beside what else one would use.

Orders are drawn with kits at their usual price, where hardly one is worth its money, and with
keenly priced kits, where the plan weighs each opening. Every measurement is a process of its
own with one thread. Times and limits are seconds of the processor. The plan's own time is that
from the demand to the proved purchase; what comes with a whole plan (takeoff, alternatives,
tables, re-proof) is measured apart.
"""

import argparse
import os
import shlex
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

from tests.benchmark.measuring import Facts, describe_machine, measure
from tests.benchmark.order_charts import draw_curve
from tests.benchmark.order_tables import (
    Aim,
    Measured,
    list_aims,
    table_of_curve,
    table_of_plans,
    table_of_rivals,
    table_of_whole_plans,
)
from tests.benchmark.results_page import write_chart, write_section

HELP = "plan generated orders of each size, beside CP-SAT, CBC and first-fit decreasing"

LIMITS = {10: 10.0, 200: 15.0, 2_000: 30.0, 10_000: 120.0}
DRAWS = {10: 5, 200: 3}
AIMS = (
    Aim(openings=10, gap_percent=0.0, seconds=0.03),
    Aim(openings=200, gap_percent=0.0, seconds=0.5),
    Aim(openings=2_000, gap_percent=0.002, seconds=2.0),
    Aim(openings=2_000, gap_percent=0.0, seconds=30.0),
    Aim(openings=10_000, gap_percent=0.0005, seconds=5.0),
    Aim(openings=10_000, gap_percent=0.0, seconds=120.0),
)
RIVALS = ("cp-sat", "cbc", "first-fit")

CURVE_LENGTHS, AT_LENGTHS = (8, 16, 32, 64, 128, 256), 32
CURVE_OPENINGS, AT_OPENINGS = (50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000), 2_000
CURVE_LIMIT, CURVE_DRAWS = 8.0, 3


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of this campaign."""
    parser.add_argument("--sizes", type=int, nargs="+", default=[*LIMITS], help="openings")
    parser.add_argument("--kits", nargs="+", choices=("usual", "keen"), default=["usual", "keen"])
    parser.add_argument("--limit", type=float, help="processor seconds, for every size")
    parser.add_argument("--draws", type=int, help="orders drawn of each size")
    parser.add_argument("--no-rivals", action="store_true", help="leave CP-SAT, CBC, FFD out")
    parser.add_argument("--no-whole", action="store_true", help="leave the whole plans out")
    parser.add_argument("--no-curve", action="store_true", help="leave the curve out")
    parser.add_argument("--curve-limit", type=float, default=CURVE_LIMIT, help="for its points")
    parser.add_argument("--write", type=Path, metavar="FOLDER", help="write RESULTS.md there")


def run(options: argparse.Namespace) -> int:
    """Measure, print the tables, and return 1 where two solvers contradict each other."""
    measured = [
        _measure_size(openings, kits == "keen", options)
        for kits in options.kits
        for openings in options.sizes
    ]
    lines = [*_head(options), *_tables(measured)]
    if not options.no_curve:
        by_lengths, by_openings = _measure_curve(options)
        lines.extend(_describe_curve(by_lengths, by_openings, options.curve_limit))
    sys.stdout.write("\n".join(lines) + "\n")
    if options.write is not None:
        write_section(options.write, "orders", lines)
        if not options.no_curve:
            chart = draw_curve(by_lengths, by_openings, options.curve_limit)
            write_chart(options.write, "orders-curve.svg", chart)
    contradictions = [line for one in measured for line in one.contradictions()]
    sys.stdout.write("".join(f"{line}\n" for line in contradictions))
    return int(bool(contradictions))


def _measure_size(openings: int, keen_kits: bool, options: argparse.Namespace) -> Measured:
    limit = options.limit or LIMITS.get(openings, 60.0)
    one = Measured(openings=openings, keen_kits=keen_kits, limit=limit)
    for seed in range(1, (options.draws or DRAWS.get(openings, 1)) + 1):
        draw = {"openings": openings, "seed": seed, "keen_kits": keen_kits}
        one.plans.append(
            _say(one, measure("measure_plan", "plan", limit=limit, **draw), f"plan, draw {seed}")
        )
    draw = {"openings": openings, "keen_kits": keen_kits}
    if not options.no_whole:
        one.whole = _say(
            one, measure("measure_plan", "whole-plan", limit=limit, **draw), "whole plan"
        )
    for rival in () if options.no_rivals else RIVALS:
        one.rivals[rival] = _say(one, measure("measure_rival", rival, limit=limit, **draw), rival)
    return one


def _say(one: Measured, facts: Facts, what: str) -> Facts:
    """Say on standard error what was measured, and return it."""
    told = {key: value for key, value in facts.items() if key != "log"}
    sys.stderr.write(f"{one.openings:,} openings, kits {one.kits}, {what}: {told}\n")
    return facts


def _head(options: argparse.Namespace) -> Iterable[str]:
    command = ["python", "-m", "tests.benchmark", *sys.argv[1:]]
    yield f"Command: `{shlex.join(command)}`  "
    yield f"Machine: {describe_machine()}  "
    yield f"Load of the machine at the end: {os.getloadavg()[2]:.1f} (mean of 15 minutes).  "
    yield "One process and one thread for each measurement; times are processor seconds."
    yield ""


def _tables(measured: Sequence[Measured]) -> Iterable[str]:
    yield from table_of_plans(measured)
    yield ""
    aims = list_aims(AIMS, measured)
    if aims:
        yield from aims
        yield ""
    if any(one.rivals for one in measured):
        yield from table_of_rivals(measured)
        yield ""
    if any(one.whole for one in measured):
        yield from table_of_whole_plans(measured)
        yield ""


def _measure_curve(options: argparse.Namespace) -> tuple[list[list[Facts]], list[list[Facts]]]:
    """Return the draws of each point: along the lengths, and along the openings."""

    def point(openings: int, lengths: int) -> list[Facts]:
        draws = []
        for seed in range(1, (options.draws or CURVE_DRAWS) + 1):
            draw = {"openings": openings, "lengths": lengths, "seed": seed}
            facts = measure("measure_plan", "plan", limit=options.curve_limit, **draw) | {
                "openings": openings
            }
            sys.stderr.write(f"curve, {draw}: {facts.get('cpu')} s, {facts.get('proved')}\n")
            draws.append(facts)
        return draws

    return (
        [point(AT_OPENINGS, lengths) for lengths in CURVE_LENGTHS],
        [point(openings, AT_LENGTHS) for openings in CURVE_OPENINGS],
    )


def _describe_curve(
    by_lengths: Sequence[Sequence[Facts]], by_openings: Sequence[Sequence[Facts]], limit: float
) -> Iterable[str]:
    yield "![Time against distinct lengths, and against openings](orders-curve.svg)"
    yield ""
    yield f"Along the distinct lengths, at {AT_OPENINGS:,} openings (limit {limit:g} s):"
    yield ""
    yield from table_of_curve(by_lengths)
    yield ""
    yield f"Along the openings, at {AT_LENGTHS} distinct lengths:"
    yield ""
    yield from table_of_curve(by_openings)
    yield ""
