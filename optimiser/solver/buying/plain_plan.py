"""A first plan for an order with terms of buying: without what it may have, priced as it must be.

Most terms may only make a plan cheaper: price breaks, discounts, bundles beside single bars,
standard kits, splices, substitutions, credits for drops, a second supplier. An order without them
is solved sooner, and each of its plans is one of the whole order. Freight and least orders are left
out there, too; the plan is then priced under every term: what serves each opening and how it is cut
is kept, no less of any article is bought, and whatever else the terms ask for is found by an
integer program over the plan's own patterns. A plan that cannot keep them is none.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from optimiser.domain.catalogue import Catalogue, Material, StockLength
from optimiser.domain.decision import Decision, Restriction
from optimiser.domain.order import Order
from optimiser.domain.takeoff import Demand
from optimiser.solver.budget import Budget
from optimiser.solver.buying.formulate import BuyingFormulation, formulate_buying
from optimiser.solver.buying.read import read_buying
from optimiser.solver.cut_charges import fold_cut_charges
from optimiser.solver.engine import solve_program
from optimiser.solver.integer_program import solve_over
from optimiser.solver.program import Pattern, Point, Program, ProgramInfeasible, Row, cost_of

PRICING_NODES = 500


def find_plain_point(
    order: Order,
    demand: Demand,
    restriction: Restriction,
    formulation: BuyingFormulation,
    budget: Budget,
) -> Point | None:
    """Return the cheapest point of the order's program that a plan of a simpler order gives.

    `None` where no simpler order has a plan that keeps the terms, or where nothing is simpler.
    """
    best: Point | None = None
    program, _ = fold_cut_charges(formulation.program)
    simpler = tuple(_simpler_orders(order))
    for n, simple in enumerate(simpler):
        share = budget.share(1 / (len(simpler) - n))
        decision = _solve(simple, demand, restriction, share)
        if decision is None:
            continue
        point = price_decision(formulation, program, decision, share)
        if point is None:
            continue
        if best is None or cost_of(program, point) < cost_of(program, best):
            best = point
    return best


def _simpler_orders(order: Order) -> Iterator[Order]:
    """Yield the order without its terms: from all suppliers, and from each of several."""
    single = {
        (stock.material, stock.length_nm)
        for stock in order.catalogue.stock_lengths
        if stock.bars_per_unit == 1
    }
    policy = replace(order.policy, keep_drops=None, splices=(), substitutions=())
    catalogues = tuple(_without_terms(catalogue, single) for catalogue in order.catalogues)
    simple = replace(order, policy=policy, catalogues=catalogues)
    if simple != order:
        yield simple
    if len(catalogues) > 1:
        for catalogue in catalogues:
            yield replace(simple, catalogues=(catalogue,))


def _without_terms(catalogue: Catalogue, single: set[tuple[Material, int]]) -> Catalogue:
    def needed(stock: StockLength) -> bool:
        return stock.bars_per_unit == 1 or (stock.material, stock.length_nm) not in single

    nothing = Decimal(0)
    return replace(
        catalogue,
        stock_lengths=tuple(
            replace(stock, breaks=(), least_quantity=1, least_value=nothing)
            for stock in catalogue.stock_lengths
            if needed(stock)
        ),
        fastener_packs=tuple(
            replace(pack, breaks=(), least_quantity=1, least_value=nothing)
            for pack in catalogue.fastener_packs
        ),
        kits=tuple(
            replace(kit, discounts=(), least_quantity=1, least_value=nothing, available=None)
            for kit in catalogue.kits
        ),
        standard_kits=(),
        freight=None,
        least_order=nothing,
    )


def _solve(
    order: Order, demand: Demand, restriction: Restriction, budget: Budget
) -> Decision | None:
    try:
        formulation = formulate_buying(order, demand, restriction)
        program, _ = fold_cut_charges(formulation.program)
        solved = solve_program(program, budget)
    except ProgramInfeasible:
        return None
    return None if solved is None else read_buying(formulation, demand, solved.point)[0]


def price_decision(
    formulation: BuyingFormulation, program: Program, decision: Decision, budget: Budget
) -> Point | None:
    """Return the cheapest point that serves and cuts as decided and buys no less.

    `program` is that of the formulation, its cut charges folded or not. `None` where the terms
    allow no such point.
    """
    patterns, kept = _patterns(formulation, decision), _kept_rows(formulation, decision)
    if patterns is None or kept is None:
        return None
    result = solve_over(
        replace(program, rows=(*program.rows, *kept)),
        patterns,
        seconds=budget.share(0.5).seconds_left,
        nodes=PRICING_NODES,
        heuristics=False,
    )
    return result.point


def _patterns(formulation: BuyingFormulation, decision: Decision) -> list[Pattern] | None:
    cutting = formulation.cutting
    sources = {article.sku: s for s, of in enumerate(cutting.articles) for article in of}
    sources |= {offcut.id: s for s, of in enumerate(cutting.offcuts) for offcut in of}
    covers = {
        (s, cutting.lengths[i][1]): i
        for s, source in enumerate(cutting.sources)
        for i in source.covers
    }
    patterns = [Pattern(source=s, counts=()) for s, steps in enumerate(cutting.credits) if steps]
    for cut in decision.patterns:
        if cut.sku not in sources:
            return None
        s = sources[cut.sku]
        counts = sorted((covers[s, length_nm], count) for length_nm, count in cut.cuts)
        patterns.append(Pattern(source=s, counts=tuple(counts)))
    return patterns


def _kept_rows(formulation: BuyingFormulation, decision: Decision) -> list[Row] | None:
    """Return the rows that keep a decision; `None` where the program has no column for it."""
    services, cutting, rows = formulation.services, formulation.cutting, list[Row]()

    def keep(columns: dict[int, int], number: int, *, or_more: bool = False) -> None:
        terms = tuple(columns.items())
        rows.append(Row(name="kept", terms=terms, lower=number, upper=None if or_more else number))

    kits = Counter({
        (g, sku): n for g, supply in enumerate(decision.supplies) for sku, n in supply.kits
    })  # fmt: skip
    for upgrades in services.upgrades:
        upgraded = 0
        for g, bare, sku in upgrades.members:
            if (g, sku) not in services.kits:
                taken = kits.pop((g, sku), 0)
                kits[g, bare] += taken
                upgraded += taken
        keep({upgrades.column: 1}, upgraded)
    for key, columns in services.kits.items():
        keep(dict.fromkeys(columns, 1), kits.pop(key, 0))
    for g, supply in enumerate(decision.supplies):
        for (of, sku), column in services.standard.items():
            if of == g:
                keep({column: 1}, dict(supply.standard_kits).get(sku, 0))
        for (of, material), column in services.cuts.items():
            if of == g:
                keep({column: 1}, dict(supply.cut_instead).get(material, 0))
    spliced = {(s.material, s.length_nm, s.segments_nm): s.pieces for s in decision.splices}
    for splice in cutting.splices:
        key_of = (splice.material, splice.length_nm, splice.segments_nm)
        keep({splice.column: 1}, spliced.get(key_of, 0))
    bought = Counter(dict([*decision.stock_lengths, *decision.packs, *decision.standard_kits]))
    for article in (
        *cutting.bought.values(),
        *formulation.fasteners.packs.values(),
        *formulation.standard.values(),
    ):
        keep(dict(article.units), bought.pop(article.sku, 0), or_more=True)
    return None if any(kits.values()) or any(bought.values()) else rows
