"""Published cutting-stock instances: solved, proved and timed, per class.

Give a folder with one folder of files per class. A file holds the number of piece types m, the
bar's capacity, then m lines `length demand`; repeated lengths are merged. The goal is the
fewest bars. Where a `bounds.csv` lies beside the classes (columns class, instance,
lower_bound, best_found, proven) the results are compared with it.

The engine, its deadline included, is the one that plans an order: an instance is a program
with one source of price 1 and no kits.
"""

import argparse
import csv
import sys
import time
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from optimiser.solver.budget import Budget
from optimiser.solver.engine import solve_program
from optimiser.solver.program import Column, Cover, Program, Source
from optimiser.solver.solved import Solved
from tests.benchmark.measuring import cpu_seconds, describe_machine, peak_mib
from tests.benchmark.results_page import table, write_section

HELP = "solve published cutting-stock instances and report per class"


@dataclass(frozen=True)
class Known:
    """What is known of an instance from elsewhere."""

    lower_bound: int
    best_found: int


@dataclass(frozen=True)
class Run:
    """The outcome on one instance."""

    instance: str
    cost: int | None
    bound: int | None
    seconds: float
    cpu_seconds: float
    known: Known | None

    @property
    def proved(self) -> bool:
        """Return whether the bound met the cost."""
        return self.cost is not None and self.cost == self.bound

    @property
    def at_best_known(self) -> bool:
        """Return whether no better value is known; a proved cost has none."""
        if self.cost is None:
            return False
        return self.proved or (self.known is not None and self.cost <= self.known.best_found)

    @property
    def contradiction(self) -> bool:
        """Return whether cost or bound contradict what is known."""
        if self.known is None or self.cost is None or self.bound is None:
            return False
        return self.cost < self.known.lower_bound or self.bound > self.known.best_found


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of this campaign."""
    parser.add_argument("folder", type=Path, help="folder with a folder of files per class")
    parser.add_argument("--only", default="*", help="classes by shell pattern")
    parser.add_argument("--files", default="*.txt", help="files by shell pattern")
    parser.add_argument("--limit", type=float, default=60.0, help="processor seconds per instance")
    parser.add_argument("--verbose", action="store_true", help="a line per instance")
    parser.add_argument("--write", type=Path, metavar="FOLDER", help="write RESULTS.md there")


def run(options: argparse.Namespace) -> int:
    """Solve, print a table, and return 1 where a result contradicts what is known.

    Returns 2, and writes nothing, where no file was found.
    """
    known = read_known(options.folder / "bounds.csv")
    runs: dict[str, list[Run]] = {}
    for path in sorted(options.folder.glob(f"{options.only}/{options.files}")):
        of = known.get((path.parent.name, path.name))
        one = solve_file(path, options.limit, of)
        runs.setdefault(path.parent.name, []).append(one)
        if options.verbose or not one.proved:
            sys.stdout.write(
                f"{path.parent.name}/{one.instance}: cost {one.cost}, bound {one.bound}, "
                f"{one.seconds:.2f} s\n"
            )
            sys.stdout.flush()
    if not runs:
        sys.stderr.write(
            f"No file is {options.folder}/{options.only}/{options.files}: give the folder that "
            "holds a folder of files for each class, or other patterns.\n"
        )
        return 2
    lines = list(report(runs, options.limit))
    sys.stdout.write("\n".join(lines) + "\n")
    if options.write is not None:
        write_section(options.write, "instances", lines)
    return int(any(one.contradiction for of_class in runs.values() for one in of_class))


def read_known(path: Path) -> dict[tuple[str, str], Known]:
    """Return what is known by (class, instance); nothing where there is no such file."""
    if not path.exists():
        return {}
    with path.open(newline="", encoding="utf-8") as file:
        return {
            (row["class"], row["instance"]): Known(int(row["lower_bound"]), int(row["best_found"]))
            for row in csv.DictReader(file)
        }


def read_instance(text: str) -> tuple[int, dict[int, int]]:
    """Return the capacity and the demand by length."""
    numbers = [int(word) for word in text.split()]
    types, capacity, pairs = numbers[0], numbers[1], numbers[2:]
    demand: Counter[int] = Counter()
    for n in range(types):
        demand[pairs[2 * n]] += pairs[2 * n + 1]
    return capacity, dict(demand)


def to_program(capacity: int, demand: dict[int, int]) -> Program:
    """Return the program that buys the fewest bars."""
    lengths = sorted(demand, reverse=True)
    return Program(
        columns=(Column(name="bars", cost=1, upper=sum(demand.values())),),
        covers=tuple(
            Cover(name=str(length), weight=length, most=demand[length], at_least=demand[length])
            for length in lengths
        ),
        sources=(
            Source(
                name="bars",
                covers=tuple(range(len(lengths))),
                capacity=capacity,
                bars=((0, 1),),
            ),
        ),
    )


def solve_file(path: Path, limit: float, known: Known | None) -> Run:
    """Solve one file within a limit in seconds of the processor."""
    program = to_program(*read_instance(path.read_text(encoding="ascii")))
    started, cpu = time.perf_counter(), cpu_seconds()
    solved: Solved | None = solve_program(program, Budget(cpu_seconds, cpu + limit))
    return Run(
        instance=path.name,
        cost=solved.cost if solved else None,
        bound=solved.bound if solved else None,
        seconds=time.perf_counter() - started,
        cpu_seconds=cpu_seconds() - cpu,
        known=known,
    )


def report(runs: dict[str, list[Run]], limit: float) -> Iterable[str]:
    """Return the table, line by line, and the instances that are not proved."""
    yield f"Machine: {describe_machine()}  "
    yield f"One process and one thread, at most {limit:g} processor seconds for each instance;"
    yield f"{peak_mib()} MiB at the peak. `Best known` counts those solved to the best value known."
    yield ""
    everything = [one for of_class in runs.values() for one in of_class]
    rows = [
        [
            name,
            f"{len(of_class)}",
            f"{sum(one.at_best_known for one in of_class)}",
            f"{sum(one.proved for one in of_class)}",
            f"{sum(one.cpu_seconds for one in of_class) / len(of_class):.3f}",
            f"{max(one.cpu_seconds for one in of_class):.2f}",
            f"{sum(one.seconds for one in of_class) / len(of_class):.3f}",
            f"{max(one.seconds for one in of_class):.2f}",
        ]
        for name, of_class in [*sorted(runs.items()), ("all", everything)]
        if of_class
    ]
    yield from table(
        ["class", "files", "best known", "proved", "mean CPU s", "worst CPU s", "mean wall s",
         "worst wall s"],
        rows,
    )  # fmt: skip
    unproved = [one for one in everything if not one.proved]
    if unproved:
        yield ""
        yield "Not proved: "
        yield "; ".join(f"{one.instance}: cost {one.cost}, bound {one.bound}" for one in unproved)
    for one in everything:
        if one.contradiction:
            yield ""
            yield f"{one.instance}: cost {one.cost} or bound {one.bound} contradicts {one.known}"
