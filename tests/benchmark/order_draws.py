"""The orders of the campaign `orders`: drawn for Harbour Row, the same for the same arguments."""

import json
import random
from dataclasses import dataclass
from functools import lru_cache

from optimiser.domain.order import Order
from optimiser.domain.takeoff import Takeoff
from optimiser.planning.make_plan import take_off_checked
from service.mapping.reading import read_order
from service.wire.order import Order as WireOrder
from tests.harbour_row import Wire, full_catalogue, mixed_order

SIXTEENTHS = 16
DOORS = ((28, 36), (78, 84))
WINDOWS = ((20, 28), (36, 60))
"""Least and most width, least and most height in inches; a draw takes any sixteenth between."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """One order. With `lengths` about so many distinct lengths are cut, over both finishes."""

    openings: int
    seed: int = 1
    keen_kits: bool = False
    lengths: int | None = None


@lru_cache(maxsize=1)
def draw_order(draw: Draw) -> tuple[Order, Takeoff]:
    """Return the order of a draw, and its takeoff."""
    wire = (
        mixed_order(draw.openings, seed=draw.seed, keen_kits=draw.keen_kits)
        if draw.lengths is None
        else _order_of_lengths(draw, draw.lengths)
    )
    order = read_order(json.dumps(wire).encode(), WireOrder)
    return order, take_off_checked(order)


def count_lengths(takeoff: Takeoff) -> int:
    """Return how many distinct lengths an order cuts, each finish on its own."""
    return len(
        {
            (wanted.piece_set.material, length_nm)
            for wanted in takeoff.demand.sets
            for length_nm, _ in wanted.piece_set.lengths
        }
    )


def count_pieces(takeoff: Takeoff) -> int:
    """Return how many pieces an order needs."""
    return sum(wanted.piece_set.piece_count * wanted.quantity for wanted in takeoff.demand.sets)


def _order_of_lengths(draw: Draw, lengths: int) -> Wire:
    """Return doors and windows whose sizes share no length, in two finishes.

    A size needs two lengths in each finish; every size comes up in both, and the rest of the
    openings are drawn.
    """
    chance = random.Random(draw.seed)
    sizes = _draw_sizes(chance, max(1, lengths // 4))
    kinds = [(*size, finish) for size in sizes for finish in ("zinc", "bronze")]
    drawn = kinds + [chance.choice(kinds) for _ in range(draw.openings - len(kinds))]
    openings = [
        {
            "mark": f"{'W' if kind.endswith('window') else 'D'}-{number:03d}",
            "kind": kind,
            "size": {"width": width, "height": height},
            "size_of": "opening",
            "quantity": 1,
            "finish": finish,
            "fastener_spacing": chance.choice(("1 1/2", "2", "3")),
        }
        for number, (kind, width, height, finish) in enumerate(drawn[: draw.openings], start=1)
    ]
    return {
        "reference": f"Harbour Row, {draw.openings} openings of {lengths} lengths",
        "unit": "in",
        "openings": openings,
        "catalogues": [full_catalogue(keen_kits=draw.keen_kits)],
        "policy": {"kerf": "1/16", "end_trim": "1/8", "fastener_allowance_percent": "5"},
    }


def _draw_sizes(chance: random.Random, count: int) -> list[tuple[str, str, str]]:
    doors, windows = count - count // 2, count // 2
    return [
        (kind, width, height)
        for kind, number, (widths, heights) in (
            ("single-door", doors, DOORS),
            ("casement-window", windows, WINDOWS),
        )
        for width, height in zip(
            _draw_lengths(chance, number, widths),
            _draw_lengths(chance, number, heights),
            strict=True,
        )
    ]


def _draw_lengths(chance: random.Random, count: int, between: tuple[int, int]) -> list[str]:
    least, most = (SIXTEENTHS * inches for inches in between)
    return [
        f"{drawn // SIXTEENTHS} {drawn % SIXTEENTHS}/{SIXTEENTHS}"
        for drawn in chance.sample(range(least, most + 1), count)
    ]
