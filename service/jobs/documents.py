"""What is written of a plan, and install sheets also without one: in UTF-8, as text or as JSON."""

from collections.abc import Iterable
from functools import partial

from optimiser.documents import write_bench_sheets, write_install_sheets
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.domain.purchase_order import Ordering
from optimiser.domain.quote import Quote
from optimiser.domain.takeoff import Takeoff
from optimiser.explain import applicable_cautions, bench_cautions, sentence
from optimiser.publishing.ubl import write_purchase_orders
from optimiser.render import (
    render_bench_sheets,
    render_customer_quote,
    render_inside_quote,
    render_install_sheet,
)
from optimiser.render.text import render_text
from optimiser.rule_sets import RuleSet
from service.jobs.outcomes import SiteFigures
from service.mapping.bench_out import write_bench_sheets as show_bench_sheets
from service.mapping.ordering import write_orders
from service.mapping.plan_out import write_plan
from service.mapping.quote_out import write_quote
from service.mapping.site_out import write_install_sheets as show_install_sheets


def write_plan_document(plan: Plan, *, as_text: bool) -> bytes:
    """Return a plan, as text for a buyer or as JSON."""
    if as_text:
        say = partial(sentence, unit=plan.unit, currency=plan.currency)
        return render_text(plan, say).encode()
    return write_plan(plan).model_dump_json().encode()


def write_bench_document(plan: Plan, kerf_nm: int, *, as_text: bool) -> bytes:
    """Return the bench sheets of a plan; `kerf_nm` is the policy's."""
    sheets = write_bench_sheets(plan, kerf_nm, bench_cautions(plan.cautions))
    if as_text:
        return render_bench_sheets(sheets).encode()
    return show_bench_sheets(sheets).model_dump_json().encode()


def write_quote_document(quote: Quote, *, as_text: bool, inside: bool = False) -> bytes:
    """Return a quote: as JSON both parts, as text the customer's or the inside one."""
    if not as_text:
        return write_quote(quote).model_dump_json().encode()
    if inside:
        return render_inside_quote(quote.inside).encode()
    return render_customer_quote(quote.customer).encode()


def write_install_document(
    order: Order,
    takeoff: Takeoff,
    on_site: SiteFigures,
    *,
    rule_sets: Iterable[RuleSet],
    as_text: bool,
    plan: Plan | None = None,
) -> bytes:
    """Return the install sheets of an order; `plan` is its plan, where one was made."""
    sheets = write_install_sheets(
        takeoff,
        applicable_cautions(takeoff),
        fits=on_site.fits,
        sizes=on_site.sizes,
        rule_sets=rule_sets,
        splices=order.policy.splices,
        plan=plan,
    )
    if as_text:
        say = partial(sentence, unit=order.unit, currency=order.catalogue.currency)
        texts = (render_install_sheet(sheet, order.unit, say) for sheet in sheets)
        return "\n\n".join(texts).encode()
    return show_install_sheets(order, sheets).model_dump_json().encode()


def write_purchase_orders_document(plan: Plan, ordering: Ordering) -> bytes:
    """Return the purchase orders of a plan as JSON, each with its XML."""
    orders = write_purchase_orders(plan, ordering)
    return write_orders(plan, orders).model_dump_json().encode()
