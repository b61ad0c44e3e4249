"""Solve an order's purchase: formulate, solve, read back."""

from collections.abc import Callable
from decimal import Decimal

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.decision import (
    Aim,
    AimProof,
    Certificate,
    CuttingPattern,
    Decision,
    Restriction,
    Solution,
    Supply,
)
from optimiser.domain.faults import NoPlanInTime
from optimiser.domain.order import Policy
from optimiser.domain.takeoff import Demand
from optimiser.solver.budget import Budget
from optimiser.solver.engine import solve_program
from optimiser.solver.formulated import Formulation
from optimiser.solver.formulation import formulate
from optimiser.solver.memory import Memory
from optimiser.solver.program import Pattern, Point
from optimiser.solver.trimming import trim_point

Progress = Callable[[Decimal | None, Decimal], None]
"""Told the cost so far (`None` while there is none) and the lower bound so far."""


def solve_purchase(
    demand: Demand,
    catalogue: Catalogue,
    policy: Policy,
    *,
    restriction: Restriction = Restriction(),  # noqa: B008
    clock: Callable[[], float] | None = None,
    deadline: float | None = None,
    progress: Progress | None = None,
    memory: Memory | None = None,
    lesser_aims: bool = True,
) -> Solution:
    """Return the cheapest purchase for a demand, with its certificate.

    At `deadline`, in the time of `clock`, the best purchase found is returned with an honest
    bound; without them effort alone is limited and the result depends on the input alone.
    `progress` is told the cost and the bound whenever they change. `memory` remembers what was
    solved before, and is let have what is found; without `lesser_aims` the cost alone counts.

    Raises:
        NoPlanInTime: the deadline passed before any plan was found.
        ProgramInfeasible: nothing can serve the demand; obstacles are looked for beforehand.
    """
    write = formulate if memory is None else memory.formulate
    formulation = write(demand, catalogue, policy, restriction)
    prices = formulation.prices

    def report(cost: int | None, bound: int) -> None:
        if progress is not None:
            progress(None if cost is None else prices.amount(cost), prices.amount(bound))

    solved = solve_program(
        formulation.program,
        Budget(clock, deadline),
        report,
        formulation.drops,
        memory=memory,
        lesser_aims=lesser_aims,
    )
    if solved is None:
        raise NoPlanInTime(policy.time_limit_seconds)
    return Solution(
        decision=read_decision(demand, catalogue, formulation, solved.point),
        certificate=Certificate(
            cost=prices.amount(solved.cost),
            lower_bound=prices.amount(solved.bound),
            method=solved.method,
            patterns_considered=len(solved.patterns),
            aims=(
                AimProof(aim=Aim.COST, proved=solved.proved),
                AimProof(aim=Aim.DROP, proved=solved.drop_proved),
                AimProof(aim=Aim.PATTERNS, proved=solved.patterns_proved),
            ),
        ),
    )


def read_decision(
    demand: Demand, catalogue: Catalogue, formulation: Formulation, point: Point
) -> Decision:
    """Return the decision that a point of the program stands for."""
    kits = read_kits(formulation, point)
    supplies = []
    for g, wanted in enumerate(demand.sets):
        served = tuple((sku, n) for (position, sku), n in kits.items() if position == g)
        cut = wanted.quantity - sum(quantity for _, quantity in served)
        supplies.append(Supply(kits=served, cut=cut))
    multiples = {stock.sku: stock.sold_in_multiples_of for stock in catalogue.stock_lengths}
    multiples |= {pack.sku: pack.sold_in_multiples_of for pack in catalogue.fastener_packs}

    def bought(columns: dict[str, int]) -> tuple[tuple[str, int], ...]:
        return tuple(
            (sku, multiples[sku] * point.block[column])
            for sku, column in sorted(columns.items())
            if point.block[column]
        )

    stock_lengths = bought(formulation.stock)
    return Decision(
        supplies=tuple(supplies),
        patterns=_patterns(
            formulation, trim_point(formulation.program, point).bars, dict(stock_lengths)
        ),
        stock_lengths=stock_lengths,
        packs=bought(formulation.packs),
    )


def read_kits(formulation: Formulation, point: Point) -> dict[tuple[int, str], int]:
    """Return the kits bought for each (set, SKU), with upgrades given to the first sets."""
    kits = {key: point.block[column] for key, column in formulation.kits.items()}
    for upgrades in formulation.upgrades:
        left = point.block[upgrades.column]
        for g, bare, sku in upgrades.members:
            taken = min(left, kits[g, bare])
            kits[g, bare] -= taken
            kits[g, sku] = kits.get((g, sku), 0) + taken
            left -= taken
    return {key: count for key, count in sorted(kits.items()) if count}


def _patterns(
    formulation: Formulation, bars: dict[Pattern, int], bought: dict[str, int]
) -> tuple[CuttingPattern, ...]:
    """Return the patterns by SKU: bars of one length from several SKUs fill up in turn."""
    sku_of = {column: sku for sku, column in formulation.stock.items()}
    left = {sku: bought.get(sku, 0) for sku in formulation.stock}
    patterns = []
    for pattern, count in sorted(bars.items(), key=lambda item: (-item[1], item[0])):
        cuts = tuple(sorted(((formulation.lengths[i], n) for i, n in pattern.counts), reverse=True))
        to_cut = count
        for k, _ in formulation.program.sources[pattern.source].bars:
            taken = min(to_cut, left[sku_of[k]])
            if taken:
                patterns.append(CuttingPattern(sku=sku_of[k], cuts=cuts, bars=taken))
                left[sku_of[k]] -= taken
                to_cut -= taken
    return tuple(
        sorted(patterns, key=lambda p: (p.sku, -p.bars, tuple((-n, -c) for n, c in p.cuts)))
    )
