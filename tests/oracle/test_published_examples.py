"""Published worked examples of the cutting-stock problem and their optima.

Each example names where its data come from. "Checked" optima were found again with another
solver when the example was collected; an example recalled from memory says so. A plain
cutting-stock instance is a program with one source per stock length and no kits.
"""

from dataclasses import dataclass, field
from decimal import Decimal

import pytest

from optimiser.domain.catalogue import Catalogue, Material, StockLength
from optimiser.domain.decision import Decision, Method
from optimiser.domain.order import Policy
from optimiser.domain.takeoff import Demand, PieceSet, SetDemand
from optimiser.solver import solve_purchase

STRIP = Material("interlocking-strip", "zinc")


@dataclass(frozen=True)
class Example:
    """Stock lengths with prices, demands, and the published or checked least cost."""

    stock: dict[int, int]
    demand: dict[int, int]
    optimum: int
    source: str = field(compare=False)


EXAMPLES = {
    "paper rolls": Example(
        {5600: 1},
        {
            1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20,
            2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
        },
        73,
        "encyclopaedia article 'Cutting stock problem', paper-roll example",
    ),
    "Chvátal": Example(
        {100: 1},
        {45: 97, 36: 610, 31: 395, 14: 211},
        453,
        "V. Chvátal, Linear Programming, 1983; data as in the GAMS model library, cutstock",
    ),
    "AMPL": Example(
        {110: 1},
        {20: 48, 45: 35, 50: 24, 55: 10, 75: 8},
        47,
        "R. Fourer, D. Gay, B. Kernighan, AMPL, file cut.dat",
    ),
    "Gilmore and Gomory": Example(
        {9: 10, 6: 7, 5: 6},
        {2: 20, 3: 10, 4: 20},
        170,
        "P. Gilmore, R. Gomory, Operations Research 9 (1961); data from memory, optimum checked",
    ),
    "Gilmore and Gomory, nines only": Example(
        {9: 10}, {2: 20, 3: 10, 4: 20}, 180, "as above; data from memory, optimum checked"
    ),
    "Gilmore and Gomory, sixes only": Example(
        {6: 7}, {2: 20, 3: 10, 4: 20}, 175, "as above; data from memory, optimum checked"
    ),
    "Gilmore and Gomory, fives only": Example(
        {5: 6}, {2: 20, 3: 10, 4: 20}, 210, "as above; data from memory, optimum checked"
    ),
    "exercise 775": Example(
        {25: 1}, {7: 700, 9: 1200, 10: 300}, 775, "exercise brainmass.com 78145"
    ),
    "exercise 2167": Example(
        {25: 1}, {7: 5000, 9: 1200, 11: 300}, 2167, "exercise, a variant of the one before"
    ),
    "exercise 54": Example(
        {20: 1}, {3: 50, 4: 25, 8: 15, 10: 70}, 54, "exercise; optimum checked"
    ),
    "lumber": Example(
        {17: 1},
        {3: 25, 5: 20, 9: 15},
        19,
        "textbook lumber example, from memory; a recalled optimum of 20 is refuted by the plan",
    ),
    "no round-up, 132": Example(
        {132: 1},
        {44: 2, 33: 3, 12: 6},
        3,
        "an instance without the integer round-up property, from memory: relaxation 259/132",
    ),
    "no round-up, 30": Example(
        {30: 1},
        {15: 1, 10: 2, 6: 4},
        3,
        "an instance without the integer round-up property, from memory: relaxation 59/30",
    ),
    "first-fit decreasing needs four": Example(
        {100: 1},
        {49: 1, 41: 1, 34: 1, 33: 1, 29: 1, 26: 2, 22: 1, 20: 1, 19: 1},
        3,
        "example against first-fit decreasing, from memory; optimum checked",
    ),
    "ten doors, priced by the inch": Example(
        {84: 84, 96: 96, 120: 120},
        {80: 30, 36: 20},
        3240,
        "computed: twenty 120s cut 80 + 36, and ten 84s",
    ),
    "ten doors, 84 only": Example({84: 84}, {80: 30, 36: 20}, 3360, "computed: 30 + 10 bars"),
    "ten doors, 120 only": Example(
        {120: 120}, {80: 30, 36: 20}, 3600, "computed: thirty bars of 80 + 36"
    ),
}  # fmt: skip


def solve(example: Example) -> tuple[Decision, Decimal, Decimal, Method]:
    longest_first = tuple(sorted(example.demand, reverse=True))
    demand = Demand(
        sets=tuple(
            SetDemand(
                piece_set=PieceSet(material=STRIP, lengths=((length, 1),), nailed_nm=()),
                quantity=example.demand[length],
                marks=((f"P-{length}", example.demand[length]),),
            )
            for length in longest_first
        ),
        fasteners=(),
    )
    catalogue = Catalogue(
        supplier="Larkmoor Strip & Seal",
        currency="USD",
        stock_lengths=tuple(
            StockLength(sku=f"S-{length}", material=STRIP, length_nm=length, price=Decimal(price))
            for length, price in example.stock.items()
        ),
    )
    solution = solve_purchase(demand, catalogue, Policy())
    certificate = solution.certificate
    return solution.decision, certificate.cost, certificate.lower_bound, certificate.method


@pytest.mark.parametrize("name", EXAMPLES)
def test_published_example_is_solved_to_its_optimum_and_proved(name: str) -> None:
    example = EXAMPLES[name]
    decision, cost, lower_bound, _ = solve(example)
    assert cost == example.optimum
    assert lower_bound == example.optimum
    cut: dict[int, int] = {}
    for pattern in decision.patterns:
        length_of_bar = int(pattern.sku.removeprefix("S-"))
        assert sum(length * count for length, count in pattern.cuts) <= length_of_bar
        for length, count in pattern.cuts:
            cut[length] = cut.get(length, 0) + count * pattern.bars
    assert cut == example.demand
    bought = {int(sku.removeprefix("S-")): bars for sku, bars in decision.stock_lengths}
    assert sum(example.stock[length] * bars for length, bars in bought.items()) == example.optimum
    for length, bars in bought.items():
        used = sum(p.bars for p in decision.patterns if p.sku == f"S-{length}")
        assert used <= bars
