"""The account adds up to the total, the total is the proved cost, and no bound is above it."""

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from optimiser.check.figures import as_decimal
from optimiser.check.weighed import amounts_by_kind
from optimiser.domain.account import AccountKind
from optimiser.domain.order import Order
from optimiser.domain.plan import AlternativeOutcome, Plan
from optimiser.domain.takeoff import Takeoff


def check_cost(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[str]:
    """Yield sums of money that do not agree, to the last digit."""
    catalogue = order.catalogue
    for what, value, expected in (
        ("currency", plan.currency, catalogue.currency),
        ("supplier", plan.supplier, catalogue.supplier),
        ("reference", plan.reference, order.reference),
        ("unit", plan.unit, order.unit),
    ):
        if value != expected:
            yield f"Plan, {what}: {value}, expected {expected}."
    yield from _check_account(order, takeoff, plan)
    yield from _check_certificate(plan)
    yield from _check_alternatives(plan)


def _check_account(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[str]:
    amounts = amounts_by_kind(order, takeoff, plan)
    times = Counter(line.kind for line in plan.account)
    bought = Counter(AccountKind(line.kind) for line in plan.purchases)
    for kind in AccountKind:
        # A kind that comes to nothing may be left out.
        if times[kind] > 1 or ((bought[kind] or amounts[kind]) and not times[kind]):
            yield f"Account, {kind}: it stands {times[kind]} times, expected once."
    for line in plan.account:
        amount = amounts[line.kind]
        if Fraction(line.amount) != amount:
            yield f"Account, {line.kind}: {line.amount}, expected {as_decimal(amount)}."
    total = sum(amounts.values(), Fraction(0))
    if Fraction(plan.total) != total:
        yield f"Total: {plan.total}, expected {as_decimal(total)}."


def _check_certificate(plan: Plan) -> Iterator[str]:
    certificate = plan.certificate
    if Fraction(certificate.cost) != Fraction(plan.total):
        yield f"Certificate, cost: {certificate.cost}, expected the total, {plan.total}."
    if certificate.lower_bound > certificate.cost:
        yield (
            f"Certificate, lower bound: {certificate.lower_bound}, "
            f"expected {certificate.cost} at most."
        )
    for aim, times in Counter(proof.aim for proof in certificate.aims).items():
        if times > 1:
            yield f"Certificate, {aim}: it stands {times} times, expected once."


def _check_alternatives(plan: Plan) -> Iterator[str]:
    """Yield alternatives priced wrongly; each is a plan too, so the bound holds for it."""
    for other in plan.alternatives:
        priced = other.outcome in {AlternativeOutcome.PRICED, AlternativeOutcome.SAME_AS_PLAN}
        if not priced:
            if other.cost is not None or other.extra_cost is not None:
                yield f"Alternative {other.code}: it has a price, expected none: {other.outcome}."
            continue
        if other.cost is None or other.extra_cost is None:
            yield f"Alternative {other.code}: it has no price, expected one: {other.outcome}."
            continue
        extra = Fraction(other.cost) - Fraction(plan.total)
        if Fraction(other.extra_cost) != extra:
            yield (
                f"Alternative {other.code}, extra cost: {other.extra_cost}, "
                f"expected {as_decimal(extra)}."
            )
        if other.outcome is AlternativeOutcome.SAME_AS_PLAN and extra:
            yield f"Alternative {other.code}: {other.cost}, expected the total, {plan.total}."
        if other.cost < plan.certificate.lower_bound:
            yield (
                f"Alternative {other.code}: {other.cost}, below the lower bound, "
                f"expected {plan.certificate.lower_bound} or more."
            )
