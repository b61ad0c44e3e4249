"""The program of an order with terms of buying; every price here is invented."""

from dataclasses import replace

import pytest

from optimiser.domain.decision import Restriction
from optimiser.planning.make_plan import take_off_checked
from optimiser.solver.buying import formulate_buying
from optimiser.solver.cut_charges import fold_cut_charges
from optimiser.solver.formulation import formulate
from optimiser.solver.program import Column, Cover, Pattern, Point, Program, Source, cost_of
from tests.harbour_row import mixed_order, ten_doors
from tests.harbour_row_terms import with_terms


def unnamed(program: Program) -> Program:
    return replace(
        program,
        columns=tuple(replace(column, name="") for column in program.columns),
        rows=tuple(replace(row, name="") for row in program.rows),
    )


@pytest.mark.parametrize("wire", [ten_doors(), mixed_order(40), mixed_order(40, seed=2)])
@pytest.mark.parametrize(
    "restriction", [Restriction(), Restriction(cutting=False), Restriction(bare_kits=False)]
)
def test_an_order_without_terms_has_one_program_however_it_is_written(
    wire: dict[str, object], restriction: Restriction
) -> None:
    order = with_terms(wire)
    demand = take_off_checked(order).demand
    plain = formulate(demand, order.catalogue, order.policy, restriction).program
    assert unnamed(formulate_buying(order, demand, restriction).program) == unnamed(plain)


def a_program_with_cut_charges(charge: int, other: int | None = None) -> Program:
    """Two lengths of which five and three are needed; a kit takes one and two of them away."""
    bars = Column(name="bars", cost=100, upper=9)
    kits = Column(name="kits", cost=130, upper=1)
    covers = (
        Cover(name="long", weight=3, most=5, at_least=5, terms=((1, 1),)),
        Cover(name="short", weight=2, most=3, at_least=3, terms=((1, 2),)),
    )
    sources = tuple(
        Source(name="bar", covers=(0, 1), capacity=7, bars=((0, 1),), piece_cost=cost)
        for cost in (charge, charge if other is None else other)
    )
    return Program(columns=(bars, kits), covers=covers, sources=sources)


@pytest.mark.parametrize("kits", [0, 1])
def test_a_folded_cut_charge_costs_every_exact_plan_the_same(kits: int) -> None:
    program = a_program_with_cut_charges(7)
    folded, besides = fold_cut_charges(program)
    point = Point(
        block=(4 - kits, kits),
        bars={
            Pattern(0, ((0, 1), (1, 2))): 1 - kits,
            Pattern(0, ((0, 2),)): 2,
            Pattern(0, ((1, 1),)): 1,
        },
    )
    assert (folded.columns[1].cost, besides) == (130 - 3 * 7, 8 * 7)
    assert cost_of(folded, point) + besides == cost_of(program, point)


def test_cut_charges_that_differ_by_source_are_refused() -> None:
    with pytest.raises(ValueError, match=r"cut charges differ: \[7, 8\]"):
        fold_cut_charges(a_program_with_cut_charges(7, 8))
