"""The block of a program that learns what can be cut; every order and price is invented."""

from decimal import Decimal

import pytest

from optimiser.domain.decision import Restriction
from optimiser.planning.make_plan import take_off_checked
from optimiser.solver import solve_order
from optimiser.solver.block_relaxation import Block, GroupCutting, extra_prices
from optimiser.solver.budget import Budget
from optimiser.solver.buying import formulate_buying
from optimiser.solver.column_generation import starting_patterns
from optimiser.solver.engine import solve_program
from optimiser.solver.program import Program
from optimiser.solver.stock import group_sources
from tests.harbour_row import mixed_order
from tests.harbour_row_terms import with_terms

# Freight, breaks, bundles, drop credit and second supplier were also found by listing every
# pattern and solving one integer program over them; the others by another search of the solver.
COSTS = {
    "freight": "551.55",
    "breaks": "498.95",
    "bundles": "533.55",
    "available": "519.84",
    "second-supplier": "517.55",
    "drop-credit": "517.55",
    "least-order": "600.00",
}


def program_of(*terms: str) -> Program:
    order = with_terms(mixed_order(10), *terms)
    return formulate_buying(order, take_off_checked(order).demand, Restriction()).program


@pytest.mark.parametrize("term", sorted(COSTS))
def test_ten_openings_with_a_term_are_proved(term: str) -> None:
    order = with_terms(mixed_order(10), term)
    certificate = solve_order(order, take_off_checked(order).demand).certificate
    assert (certificate.cost, certificate.proved) == (Decimal(COSTS[term]), True)


@pytest.mark.parametrize("term", ["rack", "drop-credit"])
def test_a_plan_keeps_every_cut_of_the_block(term: str) -> None:
    program = program_of(term)
    solved = solve_program(program, Budget())
    assert solved is not None
    groups = group_sources(program)
    block = Block(program, groups)
    weighing = [0.37 * cover.weight for cover in program.covers]
    one_piece = [1.0 * (n == 0) for n in range(len(program.covers))]
    for g in range(len(groups)):
        block.add_cut(g, weighing)
        block.add_cut(g, one_piece)
    values = list(solved.point.block)
    for g, group in enumerate(groups):
        if g in block.credit_of:
            values.append(
                sum(
                    bars
                    * program.sources[pattern.source].credit(
                        sum(program.covers[i].weight * n for i, n in pattern.counts)
                    )
                    for pattern, bars in solved.point.bars.items()
                    if pattern.source in group.sources
                )
            )
    cuts = block.program.rows[len(program.rows) :]
    assert len(cuts) == 2 * len(groups)
    for cut in cuts:
        assert cut.lower is not None
        assert sum(c * values[k] for k, c in cut.terms) >= cut.lower


def test_a_block_that_buys_nothing_is_short_of_every_bar() -> None:
    program = program_of()
    groups = group_sources(program)
    cutting = GroupCutting(program, groups[0], starting_patterns(groups))
    nothing = cutting.short_of([0] * len(program.columns), lambda: False)
    assert nothing is not None
    assert nothing.cost > 0
    bought = [column.upper for column in program.columns]
    enough = cutting.short_of(bought, lambda: False)
    assert enough is not None
    assert enough.cost <= 0


def test_missing_bars_are_never_free() -> None:
    program = program_of("rack")
    for group in group_sources(program):
        assert min(extra_prices(program, group)) > 0
