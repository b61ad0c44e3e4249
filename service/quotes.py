"""Quotes: an order with terms as a job that makes the plan and prices it."""

from collections.abc import Iterable
from dataclasses import replace

from optimiser.domain.faults import Fault, QuoteRejected
from optimiser.domain.quote import Quote
from optimiser.domain.quote_terms import Terms
from optimiser.quote import price_plan
from optimiser.rule_sets import RuleSet
from service.jobs.documents import write_quote_document
from service.jobs.outcomes import PlanDocument, PlanJob
from service.jobs.publishing import KeptPlan, rebuild_whole
from service.json_text import MalformedJson, read_json
from service.mapping.orders_in import invalid_content
from service.mapping.quote_terms_in import TERMS, read_terms, read_terms_of_order
from service.mapping.reading import OrderRequest, invalid_order, read_request
from service.problems import INVALID_ORDER, MALFORMED_JSON, Problem, count_faults
from service.use_cases import take_off_settled
from service.wire import limits
from service.wire.quote_terms import DocumentOrderByValue, QuoteOrderByValue


def prepare_quote(
    body: bytes,
    as_text: bool,
    *,
    document: PlanDocument = PlanDocument.QUOTE,
    of_files: Iterable[RuleSet] = (),
    longest_time_limit_seconds: float = limits.LONGEST_TIME_LIMIT_SECONDS,
    without_terms: Fault | None = None,
) -> PlanJob:
    """Return the job of planning an order and writing its quote.

    `of_files` are rule sets beside those that the order brings. `without_terms` is the fault of an
    order that may have terms and has none.

    Raises:
        Problem: the order or its terms cannot be taken; all faults of both are listed.
    """
    request, terms = _read_quote_order(
        body,
        of_files=of_files,
        longest_time_limit_seconds=longest_time_limit_seconds,
        without_terms=without_terms,
    )
    return PlanJob(
        order=request.order,
        rule_sets=request.rule_sets,
        as_text=as_text,
        document=document,
        terms=terms,
    )


def quote_kept_plan(kept: KeptPlan, body: bytes, as_text: bool) -> bytes:
    """Return the quote of a plan that is kept, on the terms in a body; nothing is planned.

    Raises:
        Problem: the terms cannot be read, or ask for more than the price; all faults are listed.
    """
    return write_quote_document(price_kept_plan(kept, body), as_text=as_text)


def price_kept_plan(kept: KeptPlan, body: bytes) -> Quote:
    """Return the quote of a plan that is kept, on the terms in a body.

    Raises:
        Problem: the terms cannot be read, or ask for more than the price; all faults are listed.
    """
    try:
        raw = read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None
    plan = rebuild_whole(kept).plan
    terms, faults = read_terms(raw, plan.currency)
    if faults or terms is None:
        raise invalid_content(faults)
    try:
        return price_plan(plan, terms)
    except QuoteRejected as rejected:
        raise invalid_content(rejected.faults) from None


def _read_quote_order(
    body: bytes,
    *,
    of_files: Iterable[RuleSet],
    longest_time_limit_seconds: float,
    without_terms: Fault | None,
) -> tuple[OrderRequest, Terms]:
    """Return an order and the terms that stand in it.

    Raises:
        Problem: the order or its terms cannot be taken; all faults of both are listed.
    """
    of_order: tuple[Fault, ...] = ()
    request: OrderRequest | None = None
    try:
        request = read_request(
            body,
            QuoteOrderByValue if without_terms is None else DocumentOrderByValue,
            longest_time_limit_seconds=longest_time_limit_seconds,
        )
        request = replace(request, rule_sets=(*request.rule_sets, *of_files))
    except Problem as problem:
        if problem.kind is not INVALID_ORDER:
            raise
        of_order = tuple(fault for fault in problem.faults if fault.path[:1] != (TERMS,))
    terms, of_terms = _read_terms(body, without_terms)
    if of_terms and request is not None:
        of_order = _find_further_faults(request, body)
    if of_order or of_terms or request is None or terms is None:
        raise invalid_order([*of_order, *of_terms])
    return request, terms


def _read_terms(body: bytes, without_terms: Fault | None) -> tuple[Terms | None, tuple[Fault, ...]]:
    """Return the terms in an order, and what is wrong with them."""
    raw = read_json(body)
    if not isinstance(raw, dict):
        return None, ()
    if raw.get(TERMS) is None and without_terms is not None:
        return None, (without_terms,)
    if TERMS not in raw:
        return None, (Fault((TERMS,), "missing", "terms: is missing; send it."),)
    return read_terms_of_order(raw)


def _find_further_faults(request: OrderRequest, body: bytes) -> tuple[Fault, ...]:
    """Return what only the takeoff of an order finds: told beside the faults of its terms."""
    try:
        take_off_settled(request, body, buys=True)
    except Problem as problem:
        return problem.faults
    return ()
