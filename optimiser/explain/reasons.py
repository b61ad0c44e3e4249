"""Why every number of a plan is what it is: typed reasons, and the notices that go with them."""

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal

from optimiser.domain.account import AccountKind
from optimiser.domain.difference import ALREADY_BOUGHT
from optimiser.domain.notices import BoughtBeyondUse, CostNotProved, PriceOfZero
from optimiser.domain.order import Order
from optimiser.domain.plan import PatternSheet, Plan, PurchaseKind
from optimiser.domain.reasons import (
    CostAccounted,
    CostBounded,
    LengthAccounted,
    Notice,
    Reason,
)
from optimiser.domain.takeoff import Takeoff
from optimiser.explain.buying_reasons import give_buying_reasons
from optimiser.explain.fastener_reasons import (
    find_pooled_finishes,
    find_thin_margins,
    give_fastener_counts,
    give_fastener_needs,
    give_supplies,
)
from optimiser.explain.kit_reasons import find_short_kits, give_kit_reasons

SHOWN_APART = (AccountKind.STOCK_LENGTH, AccountKind.KIT, AccountKind.FASTENER_PACK)


def give_reasons(
    order: Order, takeoff: Takeoff, plan: Plan
) -> tuple[tuple[Reason, ...], tuple[Notice, ...]]:
    """Return the reasons of a plan and its notices.

    Reasons follow the order of the work: takeoff, fasteners, kits, cutting, terms of buying,
    cost, proof. Notices begin with what the takeoff found. Any reasons and notices already in
    the plan are not looked at.
    """
    supplies = tuple(give_supplies(order, plan))
    reasons = (
        *takeoff.firings,
        *give_fastener_counts(order, takeoff),
        *give_fastener_needs(order, takeoff),
        *give_kit_reasons(order, takeoff, plan),
        *supplies,
        *_account_lengths(plan),
        *give_buying_reasons(order, takeoff, plan),
        _account_cost(plan),
        _bound_cost(plan),
    )
    notices = (
        *takeoff.notices,
        *find_pooled_finishes(takeoff),
        *find_thin_margins(order, plan, supplies),
        *find_short_kits(order, takeoff, plan),
        *_find_lengths_beyond_use(order, plan),
        *_find_zero_prices(plan),
        *_find_open_gap(plan),
    )
    return reasons, notices


def _account_lengths(plan: Plan) -> Iterator[LengthAccounted]:
    by_sku: dict[str, list[PatternSheet]] = defaultdict(list)
    for sheet in plan.patterns:
        by_sku[sheet.sku].append(sheet)
    for sku, sheets in by_sku.items():
        yield LengthAccounted(
            sku=sku,
            material=sheets[0].material,
            stock_nm=sheets[0].stock_nm,
            bars=sum(s.bars for s in sheets),
            pieces=sum(s.bars * count for s in sheets for _, count in s.cuts),
            pieces_nm=sum(s.bars * count * length for s in sheets for length, count in s.cuts),
            kerf_nm=sum(s.bars * s.kerf_nm for s in sheets),
            end_trim_nm=sum(s.bars * s.end_trim_nm for s in sheets),
            drop_nm=sum(s.bars * s.drop_nm for s in sheets),
            from_rack=sheets[0].from_rack,
        )


def _account_cost(plan: Plan) -> CostAccounted:
    amount = {line.kind: line.amount for line in plan.account}
    return CostAccounted(
        stock_lengths=amount.get(AccountKind.STOCK_LENGTH, Decimal(0)),
        kits=amount.get(AccountKind.KIT, Decimal(0)),
        fastener_packs=amount.get(AccountKind.FASTENER_PACK, Decimal(0)),
        others=tuple(line for line in plan.account if line.amount and line.kind not in SHOWN_APART),
        payable=plan.payable,
        total=plan.total,
    )


def _bound_cost(plan: Plan) -> CostBounded:
    certificate = plan.certificate
    return CostBounded(
        cost=certificate.cost,
        lower_bound=certificate.lower_bound,
        gap=certificate.gap,
        method=certificate.method,
        patterns_considered=certificate.patterns_considered,
        aims=tuple((proof.aim, proof.proved) for proof in certificate.aims),
    )


def _find_lengths_beyond_use(order: Order, plan: Plan) -> Iterator[BoughtBeyondUse]:
    multiple = {stock.sku: stock.sold_in_multiples_of for stock in order.catalogue.stock_lengths}
    cut: dict[str, int] = defaultdict(int)
    for sheet in plan.patterns:
        cut[sheet.sku] += sheet.bars
    bought: dict[str, int] = defaultdict(int)
    for line in plan.purchases:
        bought[line.sku] += line.quantity * line.bars_per_unit
    for line in plan.purchases:
        bars = bought[line.sku]
        if line.kind is PurchaseKind.STOCK_LENGTH and bars > cut[line.sku] and bars:
            bought[line.sku] = 0
            yield BoughtBeyondUse(
                sku=line.sku,
                bought=bars,
                cut=cut[line.sku],
                sold_in_multiples_of=multiple[line.sku] * line.bars_per_unit,
            )


def _find_zero_prices(plan: Plan) -> Iterator[PriceOfZero]:
    quantity: dict[str, int] = defaultdict(int)
    for line in plan.purchases:
        if not line.unit_price and line.supplier != ALREADY_BOUGHT:
            quantity[line.sku] += line.quantity
    for sku, bought in quantity.items():
        yield PriceOfZero(sku=sku, quantity=bought)


def _find_open_gap(plan: Plan) -> Iterator[CostNotProved]:
    certificate = plan.certificate
    if not certificate.proved:
        yield CostNotProved(
            cost=certificate.cost,
            lower_bound=certificate.lower_bound,
            gap=certificate.gap,
        )
