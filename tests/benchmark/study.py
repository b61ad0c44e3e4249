"""How long a study takes beside one plan of its order: `study --openings 200 --points 100`."""

import argparse
import json
import time
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from math import isqrt
from typing import Any

from optimiser.domain.order import Order
from optimiser.planning import make_plan
from optimiser.study import Point, run_study
from service.mapping.reading import read_order
from service.wire.order import Order as WireOrder
from tests.harbour_row import Wire, mixed_order

HELP = "a study beside one plan of its order, in seconds of the processor"


def _price_of_a_pack(catalogue: Wire, share: Decimal) -> None:
    catalogue["fastener_packs"][0]["price"] = f"{Decimal('2.40') + share:.2f}"


def _price_of_a_pound(catalogue: Wire, share: Decimal) -> None:
    catalogue["fastener_packs"][1]["price"] = f"{35 + 8 * share:.2f}"


def _fasteners_in_kits(catalogue: Wire, share: Decimal) -> None:
    for kit in catalogue["kits"]:
        if "fasteners" in kit:
            kit["price"]["per_pack"] = f"{1 + 3 * share:.2f}"


def _price_of_strip(catalogue: Wire, share: Decimal) -> None:
    catalogue["stock_lengths"][3]["price"] = f"{15 + 2 * share:.2f}"


AXES: dict[str, Callable[[Wire, Decimal], None]] = {
    "pack": _price_of_a_pack,
    "pound": _price_of_a_pound,
    "kit-fasteners": _fasteners_in_kits,
    "strip": _price_of_strip,
}
"""Prices that are moved, each over a range that grows with a share from 0 to 1."""


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the campaign."""
    parser.add_argument("--openings", type=int, default=200)
    parser.add_argument("--points", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keen-kits", action="store_true")
    parser.add_argument("--compare", type=int, default=0, metavar="N", help="plan every Nth alone")
    parser.add_argument(
        "--axis", action="append", choices=sorted(AXES), help="two make a grid; each one by default"
    )


def run(options: argparse.Namespace) -> int:
    """Measure a study along each axis, or over the grid of the axes that are named."""
    base = mixed_order(options.openings, seed=options.seed, keen_kits=options.keen_kits)
    order = _read(base)
    started = time.process_time()
    plan = make_plan(order, clock=time.process_time)
    alone = time.process_time() - started
    print(f"one plan: {alone:.2f} s, {plan.total}, proved: {plan.certificate.proved}")
    for axes in [options.axis] if options.axis else [[name] for name in AXES]:
        _measure(base, order, axes, options, alone)
    return 0


def _read(order: Wire) -> Order:
    return read_order(json.dumps(order).encode(), WireOrder)


def _measure(
    base: Wire, order: Order, axes: list[str], options: argparse.Namespace, alone: float
) -> None:
    started = time.process_time()
    points = list(_points(base, axes, options.points))
    reading = time.process_time() - started
    started = time.process_time()
    study = run_study(order, points, clock=time.process_time)
    seconds = time.process_time() - started
    proved = sum(row.proved for row in study.rows)
    print(
        f"{' × '.join(axes)}: {len(points)} points {seconds:.2f} s, {seconds / alone:.1f} times "
        f"one plan, reading {reading:.2f} s; {proved} proved, "
        f"{len({row.changes for row in study.rows})} different purchases",
        flush=True,
    )
    for point, row in list(zip(points, study.rows, strict=True))[:: options.compare or None][
        : None if options.compare else 0
    ]:
        assert point.order is not None
        policy = replace(point.order.policy, alternatives=False)
        one = make_plan(replace(point.order, policy=policy), clock=time.process_time)
        same = (row.cost, row.proved) == (one.total, one.certificate.proved)
        print(f"  {point.name}: {row.cost}, alone {one.total}{'' if same else '  DIFFERENT'}")


def _points(base: Wire, axes: list[str], count: int) -> list[Point]:
    side = count if len(axes) == 1 else isqrt(count)
    places: list[tuple[int, ...]] = [()]
    for _ in axes:
        places = [(*place, n) for place in places for n in range(side)]
    points = []
    for place in places:
        moved: Any = json.loads(json.dumps(base))
        for axis, n in zip(axes, place, strict=True):
            AXES[axis](moved["catalogues"][0], Decimal(n) / max(1, side - 1))
        points.append(Point(name=str(place), order=_read(moved), place=place))
    return points
