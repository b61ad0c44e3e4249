"""Run a study: plans for the base and for every point, side by side."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

from optimiser.domain.faults import (
    Fault,
    InvalidOrder,
    NoPlanInTime,
    OptimiserError,
    OrderRejected,
    PlanCheckFailed,
)
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.domain.study import PointOutcome, PurchaseChange, Study, StudyRow
from optimiser.rule_sets import RuleSet
from optimiser.study.points import Point, in_turn
from optimiser.study.solve_points import Planned, PointSolver

BASE = "base"
HUNDREDTH = Decimal("0.01")


def run_study(
    base: Order,
    points: Sequence[Point] = (),
    *,
    rule_sets: Sequence[RuleSet] = (),
    most_lengths: int | None = None,
    clock: Callable[[], float] | None = None,
    time_limit_seconds: float | None = None,
    lesser_aims: bool = False,
    told: Callable[[int], None] | None = None,
    solver: PointSolver | None = None,
) -> Study:
    """Return the table of a study: one row for each point, in their order.

    `rule_sets` and `most_lengths` are those of `make_plan`, for the base; points bring their own.
    `clock` makes the time limit of each order's policy hold, and `time_limit_seconds` for all
    together: what is not solved by then says so. With `lesser_aims` plans of one cost are told
    apart as `make_plan` does. `told` is told how many points are done. A `solver` that is handed in
    knows what it solved before, and has limits of its own in place of these.

    Raises:
        OptimiserError: the base has no plan; as `make_plan`.
    """
    if solver is None:
        deadline = None
        if clock is not None and time_limit_seconds is not None:
            deadline = clock() + time_limit_seconds
        solver = PointSolver(most_lengths=most_lengths, clock=clock, deadline=deadline)
    of_base = solver.plan(base, tuple(rule_sets), lesser_aims=True)
    rows: list[StudyRow | None] = [None] * len(points)
    for done, position in enumerate(in_turn(points, solver.open_share), start=1):
        rows[position] = tabulate(solver, points[position], of_base.plan, lesser_aims=lesser_aims)
        if told is not None:
            told(done)
    return Study(
        base=describe_plan(BASE, of_base, of_base.plan),
        rows=_name_equals(points, [row for row in rows if row is not None]),
    )


def tabulate(
    solver: PointSolver, point: Point, base: Plan, *, lesser_aims: bool = False
) -> StudyRow:
    """Return the row of a point; a point without a plan says why."""
    if point.order is None:
        outcome, faults = PointOutcome.INVALID, point.faults
    elif solver.out_of_time:
        outcome, faults = PointOutcome.NOT_IN_TIME, (STUDY_OUT_OF_TIME,)
    else:
        try:
            planned = solver.plan(point.order, point.rule_sets, lesser_aims=lesser_aims)
        except OptimiserError as error:
            outcome, faults = _why(error)
        else:
            return replace(describe_plan(point.name, planned, base), values=point.values)
    return StudyRow(scenario=point.name, outcome=outcome, faults=faults, values=point.values)


STUDY_OUT_OF_TIME = Fault(
    (),
    "study-out-of-time",
    "The time limit of the study passed before this point was solved; ask for fewer points, or "
    "raise time_limit_seconds.",
)


def _why(error: OptimiserError) -> tuple[PointOutcome, tuple[Fault, ...]]:
    match error:
        case OrderRejected(faults=faults):
            invalid = isinstance(error, InvalidOrder)
            return (PointOutcome.INVALID if invalid else PointOutcome.NO_PLAN), faults
        case NoPlanInTime():
            path = ("policy", "time_limit_seconds")
            return PointOutcome.NOT_IN_TIME, (Fault(path, error.code, str(error)),)
        case PlanCheckFailed():
            return PointOutcome.CHECK_FAILED, (Fault((), error.code, str(error)),)
    raise error


def describe_plan(name: str, planned: Planned, base: Plan) -> StudyRow:
    """Return the row of a plan beside that of the base."""
    plan, order = planned.plan, planned.order
    comparable = plan.currency == base.currency
    difference = plan.total - base.total if comparable else None
    catalogue = order.catalogue
    with_fasteners = {kit.sku for kit in catalogue.kits if kit.fasteners is not None}
    with_fasteners |= {kit.sku for kit in catalogue.standard_kits if kit.fasteners is not None}
    kits: Counter[str] = Counter()
    for supply in plan.decision.supplies:
        for sku, count in (*supply.kits, *supply.standard_kits):
            kits[sku] += count
    return StudyRow(
        scenario=name,
        outcome=PointOutcome.PLANNED,
        currency=plan.currency,
        cost=plan.total,
        difference=difference,
        difference_percent=None
        if difference is None or not base.total
        else (100 * difference / base.total).quantize(HUNDREDTH, ROUND_HALF_UP),
        changes=_compare(base, plan),
        kits=kits.total(),
        kits_with_fasteners=sum(n for sku, n in kits.items() if sku in with_fasteners),
        spare_fasteners=sum(supply.spare for supply in plan.fasteners),
        drop_nm=sum(sheet.bars * sheet.drop_nm for sheet in plan.patterns),
        certificate=plan.certificate,
    )


def count_purchases(plan: Plan) -> dict[tuple[str, str], int]:
    """Return how many are bought of each SKU of each supplier."""
    bought: Counter[tuple[str, str]] = Counter()
    for line in plan.purchases:
        bought[line.supplier, line.sku] += line.quantity
    return dict(bought)


def _compare(base: Plan, plan: Plan) -> tuple[PurchaseChange, ...]:
    before, now = count_purchases(base), count_purchases(plan)
    return tuple(
        PurchaseChange(
            supplier=supplier,
            sku=sku,
            base_quantity=before.get((supplier, sku), 0),
            quantity=now.get((supplier, sku), 0),
        )
        for supplier, sku in sorted({*before, *now})
        if before.get((supplier, sku), 0) != now.get((supplier, sku), 0)
    )


def _name_equals(points: Sequence[Point], rows: Sequence[StudyRow]) -> tuple[StudyRow, ...]:
    first: dict[tuple[Order, tuple[RuleSet, ...]], str] = {}
    named = []
    for point, row in zip(points, rows, strict=True):
        equal_to = ""
        if point.order is not None:
            equal_to = first.setdefault((point.order, point.rule_sets), point.name)
        named.append(replace(row, equal_to="" if equal_to == point.name else equal_to))
    return tuple(named)
