"""Break one constraint of the program at a time and see whether it is noticed.

A broken program is noticed where the plan fails its re-proof, or costs less than the CP-SAT
model allows or more than it finds. `python -m tests.oracle.mutations` runs them all and prints
which order and which of the two noticed each.
"""

import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from unittest.mock import patch

from optimiser.domain.faults import NoPlan, OptimiserError, PlanCheckFailed
from optimiser.planning import make_plan
from optimiser.solver import order_purchase
from optimiser.solver.buying import BuyingFormulation, formulate_buying
from optimiser.solver.program import Column, Cover, Program, Row, Source
from tests.oracle.buying_draws import draw_buying_order
from tests.oracle.buying_model import Infeasible, bracket_buying_cents
from tests.oracle.buying_to_order import to_order

Mutation = Callable[[Program], Program]
SEEDS = 60


def rows(change: Callable[[Row], Row | None]) -> Mutation:
    """Return a mutation of the rows; a row that becomes `None` is left out."""

    def mutate(program: Program) -> Program:
        changed = (change(row) for row in program.rows)
        return replace(program, rows=tuple(row for row in changed if row is not None))

    return mutate


def without(*marks: str) -> Mutation:
    """Return the mutation that leaves out the rows whose names hold all of the marks."""
    return rows(lambda row: None if all(mark in row.name for mark in marks) else row)


def columns(change: Callable[[Column], Column]) -> Mutation:
    """Return a mutation of the columns."""
    return lambda program: replace(program, columns=tuple(map(change, program.columns)))


def covers(change: Callable[[Cover], Cover]) -> Mutation:
    """Return a mutation of the covers."""
    return lambda program: replace(program, covers=tuple(map(change, program.covers)))


def sources(change: Callable[[Source], Source]) -> Mutation:
    """Return a mutation of the sources."""
    return lambda program: replace(program, sources=tuple(map(change, program.sources)))


def without_terms(rows_of: str, columns_of: str) -> Mutation:
    """Return the mutation that takes some columns out of the rows whose names begin so."""

    def mutate(program: Program) -> Program:
        out = {k for k, column in enumerate(program.columns) if columns_of in column.name}
        return rows(
            lambda row: (
                replace(row, terms=tuple(t for t in row.terms if t[0] not in out))
                if row.name.startswith(rows_of)
                else row
            )
        )(program)

    return mutate


def whole_pieces_only(program: Program) -> Program:
    """Return the program in which a splice gives its piece and asks for no segments."""
    spliced = {k for k, column in enumerate(program.columns) if column.name.startswith("splice ")}
    return covers(
        lambda c: replace(c, terms=tuple((k, n) for k, n in c.terms if k not in spliced or n > 0))
    )(program)


def _raise(column: Column, mark: str) -> Column:
    return replace(column, upper=column.upper * 3) if mark in column.name else column


def _free(column: Column, mark: str) -> Column:
    return replace(column, cost=0) if mark in column.name else column


def _leave_unserved(program: Program) -> Program:
    """Drop the rows of the sets, and the least number of kits where a set has one column."""
    free = columns(lambda c: replace(c, lower=0) if c.name.startswith("kit ") else c)
    return without("set ")(free(program))


NO_CUTTING = "no cutting"
"""Not a term but a policy: openings are served by kits alone."""

MUTATIONS: dict[str, tuple[tuple[str, ...], Mutation]] = {
    "every opening served": (("cut-charge", NO_CUTTING), _leave_unserved),
    "pool filled": ((), rows(lambda r: None if r.name.startswith("fasteners ") else r)),
    "cover: pieces wanted": (("cut-charge",), covers(lambda c: replace(c, terms=()))),
    "cover: pieces fixed": (("cut-charge",), covers(lambda c: replace(c, at_least=0))),
    "bars bought": (
        ("bundles",),
        sources(lambda s: replace(s, bars=tuple((k, 2 * n) for k, n in s.bars))),
    ),
    "capacity": (
        ("bundles",),
        sources(lambda s: replace(s, capacity=s.capacity * 11 // 10)),
    ),
    "cut charge": (("cut-charge",), sources(lambda s: replace(s, piece_cost=0))),
    "credit": (
        ("credit",),
        sources(lambda s: replace(s, credits=tuple((most, 2 * c) for most, c in s.credits))),
    ),
    "one level": (("rising",), without("one level of LS")),
    "level, least": (("breaks",), without("of LS", ", least")),
    "level, most": (("breaks",), without("of LS", ", most")),
    "kit level, least value": (("least-value",), without("of kit", ", least value")),
    "kit level, least": (("discounts",), without("of kit", ", least")),
    "kit level, most": (("available", "discounts"), without("of kit", ", most")),
    "one kit level": (("rising", "discounts"), without("one level of kit")),
    "stock limit": (("available",), columns(lambda c: _raise(c, "lots of LS"))),
    "standard kits bought": (("standard",), without("standard kits LT")),
    "offcuts there": (("rack",), columns(lambda c: _raise(c, "offcut R"))),
    "offcuts valued": (("rack",), columns(lambda c: _free(c, "offcut R"))),
    "fasteners on hand": (("on-hand",), columns(lambda c: _raise(c, "on hand"))),
    "anything shipped": (("least-order",), without("any of")),
    "least order": (("least-order",), without("least order of")),
    "a tier for each shipment": (
        ("freight", "suppliers"),
        rows(lambda r: None if r.name.startswith("tiers of") and r.name.count(",") == 0 else r),
    ),
    "tier reached": (("freight",), without("tiers of", ", from")),
    "tier not exceeded": (("freight",), without("tiers of", ", to")),
    "free freight reached": (("free", "freight"), without("free freight of")),
    "over-length": (
        ("over-length",),
        rows(lambda r: None if r.name.startswith("over ") else r),
    ),
    "preference": (
        ("substitution", "cut-charge"),
        columns(lambda c: _free(c, "cut set")),
    ),
    "splices allowed": (
        ("splices",),
        rows(lambda r: None if r.name.startswith("splices of") else r),
    ),
    "splices charged": (("splices",), columns(lambda c: _free(c, "splice "))),
    "segments wanted": (("splices",), whole_pieces_only),
    "fixed part of incremental prices": (
        ("breaks",),
        columns(lambda c: _free(c, "of LS") if c.name.startswith("level") else c),
    ),
    "pack level, least": (("breaks",), without("of LN", ", least")),
    "pack level, most": (("available", "breaks"), without("of LN", ", most")),
    "standard kit, least": (("standard",), without("of LT", ", least")),
    "fasteners on hand valued": (("on-hand",), columns(lambda c: _free(c, "on hand"))),
    "fasteners of standard kits": (("standard",), without_terms("fasteners ", "lots of LT")),
    "upgrades of kits bought": (("cut-charge",), without("class of")),
    "tiers charged": (("freight",), columns(lambda c: _free(c, "tier "))),
    "over-length charged": (("over-length",), columns(lambda c: _free(c, "over "))),
    "goods of kits": (("least-order",), without_terms("least order", "kit ")),
    "value or weight of bars": (("freight",), without_terms("tiers of", "lots of LS")),
}


def orders_for(features: tuple[str, ...]) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Yield seeds with the features that a mutation needs; cut charges make no order plain."""
    for seed in range(SEEDS):
        yield seed, features or ("cut-charge",)


def notice(name: str) -> str:
    """Return how a mutation was noticed; empty where it never was."""
    features, mutate = MUTATIONS[name]

    def broken(*given: object) -> BuyingFormulation:
        formulation = formulate_buying(*given)  # type: ignore[arg-type]
        return replace(formulation, program=mutate(formulation.program))

    for seed, on in orders_for(features):
        buying = draw_buying_order(seed, features=on)
        order = to_order(buying)
        if NO_CUTTING in on:
            order = replace(order, policy=replace(order.policy, allow_cutting=False))
        try:
            whole = make_plan(order)
        except NoPlan:
            continue
        with patch.object(order_purchase, "formulate_buying", broken):
            try:
                plan = make_plan(order)
            except PlanCheckFailed as failed:
                return f"re-proof, order {seed}: {failed.failures[0]}"
            except (OptimiserError, ValueError, KeyError, AssertionError) as failed:
                return f"no plan, order {seed}: {type(failed).__name__}"
        if plan.total == whole.total:
            continue
        try:
            lower, upper = bracket_buying_cents(buying)
        except Infeasible:
            return f"model, order {seed}: no plan exists"
        if not lower <= plan.total * 100 <= upper:
            return f"model, order {seed}: {plan.total}, expected {lower} to {upper} cents"
    return ""


def main() -> int:
    """Print how each mutation was noticed; return how many were not."""
    missed = 0
    for name in MUTATIONS:
        found = notice(name)
        missed += not found
        sys.stdout.write(f"{name}: {found or 'NOT NOTICED'}\n")
        sys.stdout.flush()
    return missed


if __name__ == "__main__":
    raise SystemExit(main())
