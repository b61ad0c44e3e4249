"""From a point of the program to the decision that it stands for, and what that costs."""

from decimal import Decimal

from optimiser.domain.decision import CuttingPattern, Decision, Splice, Supply
from optimiser.domain.takeoff import Demand
from optimiser.solver.buying.articles import Bought
from optimiser.solver.buying.formulate import BuyingFormulation
from optimiser.solver.buying.sets import Services
from optimiser.solver.program import Pattern, Point, cost_of
from optimiser.solver.trimming import trim_surplus


def read_buying(
    formulation: BuyingFormulation, demand: Demand, point: Point
) -> tuple[Decision, Decimal]:
    """Return the decision of a point and its cost, with every surplus piece taken out.

    A bar that is bought and not cut is credited as a whole, where drops are credited, and no
    more fasteners are taken from the rack than are needed: the cost may be below the point's own.
    """
    bars = _cut_exactly(formulation, point)
    cutting, block = formulation.cutting, point.block
    bought = {sku: article.count(block) for sku, article in cutting.bought.items()}
    patterns, whole = _name_patterns(formulation, bars, block, bought)
    used: dict[str, int] = dict.fromkeys(cutting.used, 0)
    for pattern in patterns:
        if pattern.sku in used:
            used[pattern.sku] += pattern.bars
    settled = list(block)
    for offcut, column in cutting.used.items():
        settled[column] = used[offcut]
    _leave_on_hand(formulation, settled)
    exact = Point(block=tuple(settled), bars={**bars, **whole})
    kits = _read_kits(formulation.services, block)
    decision = Decision(
        supplies=tuple(
            _supply(formulation, kits.get(g, {}), block, g) for g in range(len(demand.sets))
        ),
        patterns=patterns,
        stock_lengths=_counts(bought),
        packs=_counted(formulation.fasteners.packs, block),
        standard_kits=_counted(formulation.standard, block),
        offcuts=_counts(used),
        fasteners_on_hand=tuple(
            (fastener, finish, settled[column])
            for (fastener, finish), column in formulation.fasteners.on_hand.items()
            if settled[column]
        ),
        splices=tuple(
            Splice(
                material=spliced.material,
                length_nm=spliced.length_nm,
                segments_nm=spliced.segments_nm,
                pieces=block[spliced.column],
            )
            for spliced in cutting.splices
            if block[spliced.column]
        ),
    )
    return decision, formulation.prices.amount(cost_of(formulation.program, exact))


def _leave_on_hand(formulation: BuyingFormulation, settled: list[int]) -> None:
    """Leave on the rack what a pool does not need of it, the dearest first."""
    columns = formulation.program.columns
    on_hand = set(formulation.fasteners.on_hand.values())
    for row in formulation.program.rows:
        taken = [k for k, _ in row.terms if k in on_hand]
        if not taken or row.lower is None:
            continue
        # One fastener on hand counts as one: a row with them has no larger measure.
        surplus = sum(each * settled[k] for k, each in row.terms) - row.lower
        for k in sorted(taken, key=lambda k: -columns[k].cost):
            left = min(settled[k], surplus)
            settled[k] -= left
            surplus -= left


def _counts(bought: dict[str, int]) -> tuple[tuple[str, int], ...]:
    return tuple((sku, count) for sku, count in sorted(bought.items()) if count)


def _counted(articles: dict[str, Bought], block: tuple[int, ...]) -> tuple[tuple[str, int], ...]:
    return _counts({sku: article.count(block) for sku, article in articles.items()})


def _supply(
    formulation: BuyingFormulation, kits: dict[str, int], block: tuple[int, ...], g: int
) -> Supply:
    services = formulation.services
    standard = {sku: block[column] for (of, sku), column in services.standard.items() if of == g}
    instead = {
        material: block[column] for (of, material), column in services.cuts.items() if of == g
    }
    rest = services.rests.get(g)
    cut = rest.quantity - sum(block[column] for column in rest.others) if rest else 0
    return Supply(
        kits=_counts(kits),
        cut=cut,
        standard_kits=_counts(standard),
        cut_instead=tuple((material, n) for material, n in sorted(instead.items()) if n),
    )


def _read_kits(services: Services, block: tuple[int, ...]) -> dict[int, dict[str, int]]:
    """Return the kits bought by set and SKU, with upgrades given to the first sets."""
    kits: dict[int, dict[str, int]] = {}
    for (g, sku), columns in services.kits.items():
        kits.setdefault(g, {})[sku] = sum(block[column] for column in columns)
    for upgrades in services.upgrades:
        left = block[upgrades.column]
        for g, bare, sku in upgrades.members:
            taken = min(left, kits[g][bare])
            kits[g][bare] -= taken
            kits[g][sku] = kits[g].get(sku, 0) + taken
            left -= taken
    return kits


def _cut_exactly(formulation: BuyingFormulation, point: Point) -> dict[Pattern, int]:
    surplus = [0] * len(formulation.program.covers)
    for pattern, bars in point.bars.items():
        for i, count in pattern.counts:
            surplus[i] += count * bars
    for i, cover in enumerate(formulation.program.covers):
        surplus[i] -= cover.at_least - sum(c * point.block[k] for k, c in cover.terms)
    cut = {pattern: bars for pattern, bars in point.bars.items() if pattern.counts}
    return trim_surplus(cut, dict(enumerate(surplus)))


def _name_patterns(
    formulation: BuyingFormulation,
    bars: dict[Pattern, int],
    block: tuple[int, ...],
    bought: dict[str, int],
) -> tuple[tuple[CuttingPattern, ...], dict[Pattern, int]]:
    """Return the patterns by SKU or offcut, and the bars left whole as patterns without cuts.

    Bars of one length from several SKUs fill up in turn.
    """
    cutting = formulation.cutting
    left: list[dict[str, int]] = [
        {stock.sku: bought[stock.sku] * stock.bars_per_unit for stock in stock_lengths}
        | {offcut.id: block[cutting.used[offcut.id]] for offcut in offcuts}
        for stock_lengths, offcuts in zip(cutting.articles, cutting.offcuts, strict=True)
    ]
    patterns = []
    for pattern, count in sorted(bars.items(), key=lambda item: (-item[1], item[0])):
        cuts = tuple(sorted(((cutting.lengths[i][1], n) for i, n in pattern.counts), reverse=True))
        to_cut = count
        stacks = left[pattern.source]
        for sku in stacks:
            taken = min(to_cut, stacks[sku])
            if taken:
                patterns.append(CuttingPattern(sku=sku, cuts=cuts, bars=taken))
                stacks[sku] -= taken
                to_cut -= taken
    whole = {
        Pattern(source=s, counts=()): sum(stacks.values())
        for s, stacks in enumerate(left)
        if cutting.articles[s]
    }
    return (
        tuple(sorted(patterns, key=lambda p: (p.sku, -p.bars, tuple((-n, -c) for n, c in p.cuts)))),
        {pattern: count for pattern, count in whole.items() if count},
    )
