"""From an order and its demand to the program of `program.py`, with all terms of buying.

The formulation stands at the head of the modules that write its parts: `sets.py` (what serves
the openings), `cutting.py` (covers, bars, rack, splices), `articles.py` (quantities and
prices), `pools.py` (fasteners), `shipments.py` (least orders and freight).

References: fixed charges and piecewise linear prices by switches, as in H. P. Williams, "Model
Building in Mathematical Programming", 5th ed., Wiley 2013, chapter 9.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import gcd

from optimiser.domain.catalogue import StandardKit
from optimiser.domain.decision import Restriction
from optimiser.domain.order import Order, articles_of
from optimiser.domain.takeoff import Demand, pool_of
from optimiser.solver.buying.articles import ArticleWriter, Bought
from optimiser.solver.buying.block import Block, grid_of
from optimiser.solver.buying.cuttable import find_cuttable
from optimiser.solver.buying.cutting import CuttingWriter
from optimiser.solver.buying.cutting_index import Cutting
from optimiser.solver.buying.pools import Fasteners, PoolWriter
from optimiser.solver.buying.sets import Services, SetWriter, standard_users
from optimiser.solver.buying.shipments import reach_of, write_shipments
from optimiser.solver.price_grid import PriceGrid
from optimiser.solver.program import Program, Source
from optimiser.units.counts import ceil_div
from optimiser.units.money import minor_digits


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyingFormulation:
    """A program, and what its parts stand for.

    `drops` gives the drop that one of each block column adds, in a common measure of lengths: what
    is bought or taken from the rack adds its length, what takes a piece away from cutting the
    piece's.
    """

    program: Program
    prices: PriceGrid
    services: Services
    cutting: Cutting
    standard: dict[str, Bought]
    fasteners: Fasteners
    drops: tuple[int, ...]


def formulate_buying(order: Order, demand: Demand, restriction: Restriction) -> BuyingFormulation:
    """Return the program of an order.

    Raises:
        ProgramInfeasible: a set or a pool has no supply at all.
    """
    block = Block()
    supplier_of = {
        article.sku: catalogue.supplier
        for catalogue in order.catalogues
        for article in articles_of(catalogue)
    }
    articles = ArticleWriter(block=block, reach={c.supplier: reach_of(c) for c in order.catalogues})
    cuttable = find_cuttable(order, demand) if restriction.cutting else set()
    services = SetWriter(
        block=block,
        order=order,
        demand=demand,
        restriction=restriction,
        supplier_of=supplier_of,
        cuttable=cuttable,
        rewarding={supplier for supplier, reach in articles.reach.items() if reach.rewards},
    ).write()
    cutting = CuttingWriter(
        block=block,
        articles=articles,
        order=order,
        demand=demand,
        services=services,
        supplier_of=supplier_of,
    ).write()
    standard = _write_standard_kits(
        block=block,
        articles=articles,
        order=order,
        demand=demand,
        restriction=restriction,
        services=services,
        supplier_of=supplier_of,
    )
    fasteners = PoolWriter(
        block=block,
        articles=articles,
        order=order,
        services=services,
        standard=standard,
        supplier_of=supplier_of,
    ).write(demand)
    write_shipments(block, order.catalogues)
    charge = order.policy.cut_charge
    minor_unit = Decimal(1).scaleb(-minor_digits(order.catalogue.currency))
    prices = grid_of(block, (charge, *((minor_unit,) if any(cutting.credits) else ())))
    program = Program(
        columns=block.columns(prices),
        rows=tuple(block.rows),
        covers=tuple(cutting.covers),
        sources=tuple(_priced(cutting, prices, charge)),
    )
    return BuyingFormulation(
        program=program,
        prices=prices,
        services=services,
        cutting=cutting,
        standard=standard,
        fasteners=fasteners,
        drops=_drops(program, cutting),
    )


def _drops(program: Program, cutting: Cutting) -> tuple[int, ...]:
    drops_nm = [0] * len(program.columns)
    for source, length_nm in zip(program.sources, cutting.source_lengths_nm, strict=True):
        for k, bars in source.bars:
            drops_nm[k] += bars * length_nm
    for cover, (_, length_nm) in zip(program.covers, cutting.lengths, strict=True):
        for k, pieces in cover.terms:
            drops_nm[k] += pieces * length_nm
    measure = max(1, gcd(*drops_nm))
    return tuple(nm // measure for nm in drops_nm)


def _priced(cutting: Cutting, prices: PriceGrid, charge: Decimal) -> Sequence[Source]:
    return [
        replace(
            source,
            piece_cost=prices.count(charge),
            credits=tuple((most, prices.count(credit)) for most, credit in steps),
        )
        for source, steps in zip(cutting.sources, cutting.credits, strict=True)
    ]


def _worth_for_fasteners(
    kit: StandardKit, order: Order, demand: Demand, restriction: Restriction
) -> int:
    """Return the most kits that may be bought for their fasteners alone."""
    allowed = order.policy.allow_kits and restriction.kits_with_fasteners
    if kit.fasteners is None or not allowed:
        return 0
    low = kit.fasteners.packs * kit.fasteners.contents.low_count
    pool = pool_of(kit.fasteners.fastener, kit.material.finish, order.policy)
    return sum(ceil_div(need.needed, low) for need in demand.fasteners if need.pool == pool)


def _write_standard_kits(
    *,
    block: Block,
    articles: ArticleWriter,
    order: Order,
    demand: Demand,
    restriction: Restriction,
    services: Services,
    supplier_of: dict[str, str],
) -> dict[str, Bought]:
    """Write the standard kits bought: at least as many as serve an opening.

    More may be bought for the fasteners in them, where that is the cheapest way.
    """
    written: dict[str, Bought] = {}
    for kit in sorted(order.catalogue.standard_kits, key=lambda kit: kit.sku):
        users = standard_users(services, kit)
        for_fasteners = _worth_for_fasteners(kit, order, demand, restriction)
        if not users and not for_fasteners:
            continue
        written[kit.sku] = articles.write(
            kit,
            sku=kit.sku,
            supplier=supplier_of[kit.sku],
            price=kit.price,
            needed=sum(block.upper(column) for column in users) + for_fasteners,
            longest_nm=max(length_nm for length_nm, _ in kit.lengths),
        )
        terms = [(column, units) for column, units in written[kit.sku].units]
        block.row(
            f"standard kits {kit.sku}", [*terms, *((column, -1) for column in users)], lower=0
        )
    return written
