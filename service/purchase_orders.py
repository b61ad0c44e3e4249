"""Purchase orders: as a job that makes the plan first, or of a plan that is kept."""

from collections.abc import Iterable

from optimiser.domain.difference import ALREADY_BOUGHT
from optimiser.domain.purchase_order import Ordering
from optimiser.render.spreadsheet import pack
from optimiser.rule_sets import RuleSet
from service.jobs.documents import write_purchase_orders_document
from service.jobs.outcomes import PlanDocument, PlanJob
from service.jobs.rebuilding import rebuild_plan
from service.mapping.faults import FaultGatherer
from service.mapping.ordering import to_ordering
from service.mapping.orders_in import invalid_content, read_stated, under
from service.mapping.reading import read_request
from service.media_types import JSON, XML, ZIP
from service.problems import NOT_ACCEPTABLE, Problem
from service.wire import limits
from service.wire import ordering as wire
from service.wire.catalogue import Catalogue

FORMS = (JSON, ZIP, XML)


def prepare_purchase_orders(
    body: bytes,
    *,
    of_files: Iterable[RuleSet] = (),
    longest_time_limit_seconds: float = limits.LONGEST_TIME_LIMIT_SECONDS,
) -> PlanJob:
    """Return the job of planning an order and writing the purchase orders of its plan.

    `of_files` are rule sets beside those that the order brings.

    Raises:
        Problem: the order, or what stands beside it, cannot be read; all faults are listed.
    """
    found: list[Ordering] = []

    def read_ordering(stated: wire.OrderToBuy, gatherer: FaultGatherer) -> None:
        # References have been put in by now.
        suppliers = [c.supplier for c in stated.catalogues if isinstance(c, Catalogue)]
        ordering, faults = to_ordering(stated.ordering, suppliers)
        found.append(ordering)
        gatherer.faults.extend(under("ordering", faults))

    request = read_request(
        body,
        wire.OrderToBuy,
        longest_time_limit_seconds=longest_time_limit_seconds,
        further=read_ordering,
    )
    return PlanJob(
        order=request.order,
        rule_sets=(*request.rule_sets, *of_files),
        as_text=False,
        document=PlanDocument.PURCHASE_ORDERS,
        ordering=found[0],
    )


def write_kept_purchase_orders(request: bytes, solution: bytes, body: bytes) -> bytes:
    """Return the purchase orders of a kept plan as JSON; `body` states what it lacks.

    Raises:
        Problem: the body cannot be read; all faults are listed.
    """
    stated = read_stated(body, wire.Ordering)
    planned = rebuild_plan(request, solution)
    suppliers = [c.supplier for c in planned.order.catalogues if c.supplier != ALREADY_BOUGHT]
    ordering, faults = to_ordering(stated, suppliers)
    if faults:
        raise invalid_content(faults)
    return write_purchase_orders_document(planned.plan, ordering)


def form_purchase_orders(document: bytes, media_type: str) -> bytes:
    """Return purchase orders, which come as JSON, in the form of a media type.

    Raises:
        Problem: not acceptable; XML holds one order, and there are more, or none.
    """
    if media_type == JSON:
        return document
    orders = wire.PurchaseOrders.model_validate_json(document).purchase_orders
    if media_type == ZIP:
        return pack((order.file_name, order.xml.encode()) for order in orders)
    if len(orders) != 1:
        raise Problem(
            NOT_ACCEPTABLE,
            f"The plan buys from {len(orders)} suppliers, and {XML} holds one order; accept "
            f"{JSON} or {ZIP}."
            if orders
            else f"The plan buys nothing, and {XML} holds one order; accept {JSON}.",
        )
    return orders[0].xml.encode()
