"""Random orders with every term of buying: the plan against CP-SAT and exhaustive search.

Order n is drawn from the number n alone; every third one is tiny and searched exhaustively, too.
A disagreement is printed with its number and the order itself, so that it can be replayed with
`--seed n --orders 1`.
"""

import argparse
import random
import time
from collections import Counter
from dataclasses import dataclass, field

from tests.oracle.agreement import Comparison, compare
from tests.oracle.buying_draws import draw_buying_order, draw_tiny_buying_order
from tests.oracle.buying_orders import FEATURES, BuyingOrder

HELP = "hold plans of random small orders against CP-SAT and exhaustive search"
TINY_EVERY = 3


@dataclass(slots=True)
class Tally:
    """What came of the orders: numbers by outcome, and by term of buying."""

    outcomes: Counter[str] = field(default_factory=Counter)
    orders_with: Counter[str] = field(default_factory=Counter)
    proved_with: Counter[str] = field(default_factory=Counter)
    disagreements: list[str] = field(default_factory=list)
    slowest: tuple[float, int] = (0.0, 0)
    planning_seconds: float = 0.0

    def add(self, number: int, buying: BuyingOrder, found: Comparison) -> None:
        """Count one order."""
        self.outcomes["orders"] += 1
        self.outcomes["searched exhaustively"] += is_tiny(number)
        self.outcomes["no plan exists"] += found.bracket is None
        self.outcomes["proved by the plan"] += found.planned.proved
        self.outcomes["proved by both, equal"] += found.proved_by_both and not found.disagreement
        self.outcomes["disagreements"] += bool(found.disagreement)
        for feature in buying.on or {"none"}:
            self.orders_with[feature] += 1
            self.proved_with[feature] += found.proved_by_both
        if found.disagreement:
            self.disagreements.append(f"order {number}: {found.disagreement}\n{buying!r}")


def is_tiny(number: int) -> bool:
    """Return whether an order is one for exhaustive search."""
    return number % TINY_EVERY == 0


def draw_order(number: int, features: tuple[str, ...] = FEATURES) -> BuyingOrder:
    """Return the order with a number; each of the features is on or off at random."""
    draw = random.Random(number)
    share = draw.choice((0.15, 0.35, 0.6))
    on = tuple(feature for feature in FEATURES if draw.random() < share)
    on = tuple(feature for feature in on if feature in features)
    drawn = draw_tiny_buying_order if is_tiny(number) else draw_buying_order
    return drawn(number, features=on)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the campaign."""
    parser.add_argument("--orders", type=int, default=2_000, help="how many orders")
    parser.add_argument("--seed", type=int, default=0, help="the number of the first one")
    parser.add_argument("--minutes", type=float, help="stop after so long")
    parser.add_argument("--effort", type=float, default=0.5, help="CP-SAT's deterministic time")
    parser.add_argument("--seconds", type=float, default=10.0, help="CPU time for one plan")
    parser.add_argument("--only", default=",".join(FEATURES), help="features that may be on")


def run(options: argparse.Namespace) -> int:
    """Compare the orders, print what came of them, and return 1 if any disagreed."""
    tally, started = Tally(), time.monotonic()
    features = tuple(options.only.split(","))
    for number in range(options.seed, options.seed + options.orders):
        if options.minutes and time.monotonic() - started > 60 * options.minutes:
            break
        buying, before = draw_order(number, features), time.process_time()
        found = compare(
            buying,
            effort=options.effort,
            tiny=is_tiny(number),
            clock=time.process_time,
            seconds=options.seconds,
        )
        tally.slowest = max(tally.slowest, (time.process_time() - before, number))
        tally.add(number, buying, found)
        if found.disagreement:
            print(tally.disagreements[-1], flush=True)
    _report(tally, time.monotonic() - started)
    return 1 if tally.disagreements else 0


def _report(tally: Tally, seconds: float) -> None:
    for outcome, count in tally.outcomes.items():
        print(f"{count:>6,}  {outcome}")
    print(
        f"in {seconds:.0f} s; the slowest order took {tally.slowest[0]:.1f} s of CPU: "
        f"number {tally.slowest[1]}"
    )
    print(f"{'with':16}{'orders':>8}{'proved by both':>16}")
    for feature in (*FEATURES, "none"):
        print(f"{feature:16}{tally.orders_with[feature]:>8,}{tally.proved_with[feature]:>16,}")
