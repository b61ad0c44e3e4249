"""What a generated client is asked to do, step by step: each goes on from the steps before it."""

import json
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from importlib import import_module
from io import BytesIO
from pathlib import Path
from typing import Any

from service.media_types import XLSX

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"


@dataclass
class GeneratedClient:
    """A generated package, a client of it, and what the steps have found so far."""

    package: str
    connection: Any
    found: dict[str, Any] = field(default_factory=dict)

    def model(self, name: str) -> Any:
        """Return a class of the package."""
        return getattr(import_module(f"{self.package}.models"), name)

    def read_example(self, model: str, example: str) -> Any:
        """Return an example of a body as the class that it belongs to, which loses nothing."""
        text = (EXAMPLES / f"{example}.json").read_text(encoding="utf-8")
        body = self.model(model).from_dict(json.loads(text))
        assert body.to_dict() == json.loads(text)
        return body

    def ask(self, operation: str, *path: object, **arguments: Any) -> Any:
        """Return the response of an operation, such as `plans.make_plan`."""
        module = import_module(f"{self.package}.api.{operation}")
        return module.sync_detailed(*path, client=self.connection, **arguments)

    def get(self, operation: str, *path: object, answer: str, **arguments: Any) -> Any:
        """Return the parsed answer of an operation, which must be of the class named `answer`."""
        response = self.ask(operation, *path, **arguments)
        assert type(response.parsed) is self.model(answer), response.content
        return response.parsed


def keep_a_catalogue(client: GeneratedClient) -> None:
    body = client.read_example("NewCatalogue", "larkmoor-catalogue")
    kept = client.get("catalogues.add_catalogue", body=body, answer="StoredSummary")
    assert (kept.name, kept.latest, kept.current) == ("larkmoor", 1, 1)
    version = client.get(
        "catalogues.read_catalogue_version", "larkmoor", 1, answer="CatalogueVersion"
    )
    assert version.content.supplier == body.content.supplier
    refused = client.ask("catalogues.add_catalogue", body=body)
    assert type(refused.parsed) is client.model("Problem")
    assert (int(refused.status_code), refused.parsed.code) == (409, "name-taken")


def send_a_catalogue_as_a_workbook(client: GeneratedClient) -> None:
    # An answer that is no JSON comes by the connection of the client.
    plain = client.connection.get_httpx_client()
    read = plain.get("/v1/catalogues/larkmoor/versions/1", headers={"accept": XLSX})
    assert read.headers["content-type"] == XLSX
    file = import_module(f"{client.package}.types").File
    form = client.model("AddCatalogueVersionFilesBody")(
        file=file(payload=BytesIO(read.content), file_name="larkmoor.xlsx")
    )
    kept = client.get(
        "catalogues.add_catalogue_version",
        "larkmoor",
        body=form,
        remark="sent back as it came",
        if_match='"1"',
        answer="StoredSummary",
    )
    assert kept.latest == 2
    found = client.get(
        "catalogues.compare_catalogue_versions",
        "larkmoor",
        from_=1,
        to=2,
        answer="CatalogueDifferences",
    )
    assert found.changes == []


def keep_a_rack(client: GeneratedClient) -> None:
    body = client.read_example("NewRack", "workshop-rack")
    kept = client.ask("racks.add_rack", body=body)
    assert [offcut.id for offcut in kept.parsed.rack.offcuts] == ["R-01", "R-02"]
    body.rack.offcuts.pop()
    counted = client.model("RackContent").from_dict({"rack": body.rack.to_dict()})
    tag = kept.headers["etag"]
    rack = client.get(
        "racks.replace_rack", "workshop", body=counted, if_match=tag, answer="KeptRack"
    )
    assert [offcut.id for offcut in rack.rack.offcuts] == ["R-01"]
    late = client.ask("racks.replace_rack", "workshop", body=counted, if_match=tag)
    assert (int(late.status_code), late.parsed.code) == (412, "changed-meanwhile")


def plan_at_once(client: GeneratedClient) -> None:
    order = client.read_example("Order", "ten-doors")
    plan = client.get("plans.make_plan", body=order, answer="Plan")
    assert plan.total == "459.70"
    assert [type(line) for line in plan.purchases] == [client.model("KitLine")] * 2
    assert client.model("RuleFired") in {type(reason) for reason in plan.reasons}
    assert client.model("ThinFastenerMargin") in {type(notice) for notice in plan.notices}


def quote_a_customer(client: GeneratedClient) -> None:
    order = client.read_example("QuoteOrder", "harbour-row-quote")
    quote = client.get("quotes.make_quote", body=order, answer="Quote")
    assert (quote.customer.total, quote.inside.cost) == ("1895.95", "1313.52")
    assert not hasattr(quote.customer, "cost")
    changed = client.read_example("QuoteDifferenceOrder", "harbour-row-requote")
    compared = client.get("quotes.compare_quotes", body=changed, answer="QuoteDifference")
    assert compared.customer.total.difference == "214.66"


def have_the_faults_listed(client: GeneratedClient) -> None:
    order = client.read_example("Order", "ten-doors")
    order.openings[0].quantity, order.currency = 0, "usd"
    problem = client.get("plans.make_plan", body=order, answer="Problem")
    assert problem.code == "invalid-order"
    assert [fault.pointer for fault in problem.faults] == ["/currency", "/openings/0/quantity"]


def queue_an_order(client: GeneratedClient) -> None:
    order = client.read_example("Order", "ten-doors").to_dict()
    order["catalogues"] = [{"stored": "larkmoor", "version": 1}]
    asked = {
        "body": client.model("Order").from_dict(order),
        "prefer": "respond-async",
        "idempotency_key": "harbour-row-first-floor",
    }
    queued = client.ask("plans.make_plan", **asked)
    assert (int(queued.status_code), type(queued.parsed)) == (202, client.model("Job"))
    assert queued.headers["location"] == f"/v1/jobs/{queued.parsed.id}"
    again = client.ask("plans.make_plan", **asked)
    assert again.parsed == queued.parsed
    client.found["job"] = queued.parsed.id


def wait_for_the_job(client: GeneratedClient) -> None:
    deadline = time.monotonic() + 60
    while True:
        job = client.get("jobs.read_job", client.found["job"], answer="Job")
        if job.status not in {"queued", "running"}:
            break
        assert time.monotonic() < deadline, job
        time.sleep(0.1)
    assert job.status == "finished"
    client.found["plan"] = job.plan_id
    finished = client.model("ListJobsStatus").FINISHED
    jobs = client.get("jobs.list_jobs", status=finished, answer="Jobs")
    assert job in jobs.entries


def read_the_plan(client: GeneratedClient) -> None:
    plan = client.get("plans.read_plan", client.found["plan"], answer="Plan")
    assert plan.certificate.proved
    listed = client.get("plans.list_plans", limit=1, answer="PlanSummaries")
    assert [(entry.id, entry.total) for entry in listed.entries] == [
        (client.found["plan"], plan.total)
    ]
    missing = client.get("plans.read_plan", "0" * 32, answer="Problem")
    assert missing.code == "not-found"


def order_of_the_suppliers(client: GeneratedClient) -> None:
    ordering = client.read_example("Ordering", "harbour-row-ordering")
    orders = client.get(
        "purchase_orders.write_purchase_orders_of_plan",
        client.found["plan"],
        body=ordering,
        answer="PurchaseOrders",
    )
    assert [(o.order_id, o.payable) for o in orders.purchase_orders] == [("HR-2027-114", "459.70")]
    body = client.read_example("OrderToBuy", "ten-doors-to-order")
    at_once = client.get(
        "purchase_orders.write_purchase_orders", body=body, answer="PurchaseOrders"
    )
    lines = [order.lines for order in at_once.purchase_orders]
    assert lines == [order.lines for order in orders.purchase_orders] == [2]


def ask_what_if(client: GeneratedClient) -> None:
    body = client.read_example("StudyToMake", "ten-doors-study")
    study = client.get("studies.make_study", body=body, answer="Study")
    assert (len(study.rows), study.proved) == (24, 24)
    assert [(flip.low, flip.high) for flip in study.break_evens[0].flips] == [("2.40", "2.41")]
    assert study.ranking[0].swing == "54.10"


def read_a_document(client: GeneratedClient) -> None:
    british = client.model("Language")("en-GB")
    which = client.model("ReadDocumentDocument")("purchase-list")
    read = client.ask("documents.read_document", client.found["plan"], which, locale=british)
    assert (int(read.status_code), read.headers["content-type"]) == (
        200,
        "text/html; charset=utf-8",
    )
    assert b'<html lang="en-GB">' in read.content
    assert b"459.70" in read.content


def read_a_schedule(client: GeneratedClient) -> None:
    file = import_module(f"{client.package}.types").File
    text = b"Mark,Qty,Width,Height,Finish,Type\nD-01,10,36,80,zinc,single door\n"
    form = client.model("ReadScheduleFilesBody")(file=file(payload=text, file_name="doors.csv"))
    schedule = client.get("schedules.read_schedule", body=form, answer="Schedule")
    assert [(opening.mark, opening.quantity) for opening in schedule.openings] == [("D-01", 10)]


def set_rotate_and_remove_a_webhook(client: GeneratedClient) -> None:
    body = client.model("NewWebhook").from_dict(
        {"url": "http://127.0.0.1:9999/hook", "events": ["job.finished"]}
    )
    set_ = client.ask("webhooks.add_webhook", body=body)
    assert type(set_.parsed) is client.model("WebhookWithSecret")
    webhook, tag = set_.parsed, set_.headers["etag"]
    rotated = client.ask("webhooks.rotate_webhook_secret", webhook.id, if_match=tag)
    assert rotated.parsed.secret != webhook.secret
    stale = client.ask("webhooks.remove_webhook", webhook.id, if_match=tag)
    assert (int(stale.status_code), stale.parsed.code) == (412, "changed-meanwhile")
    gone = client.ask("webhooks.remove_webhook", webhook.id, if_match=rotated.headers["etag"])
    assert int(gone.status_code) == 204
    left = client.get("webhooks.list_webhooks", answer="Webhooks")
    assert left.entries == []


def read_the_audit_log(client: GeneratedClient) -> None:
    log = client.get("audit.list_audit_entries", resource_kind="rack", answer="AuditEntries")
    assert [entry.action for entry in log.entries] == ["rack-added", "rack-replaced"]


STEPS: tuple[Callable[[GeneratedClient], None], ...] = (
    keep_a_catalogue,
    send_a_catalogue_as_a_workbook,
    keep_a_rack,
    plan_at_once,
    quote_a_customer,
    have_the_faults_listed,
    queue_an_order,
    wait_for_the_job,
    read_the_plan,
    order_of_the_suppliers,
    ask_what_if,
    read_a_document,
    read_a_schedule,
    set_rotate_and_remove_a_webhook,
    read_the_audit_log,
)
"""In this order."""
