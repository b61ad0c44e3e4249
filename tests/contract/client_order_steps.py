"""The life of an order, asked for through a generated client, step by step."""

import json
from collections.abc import Callable
from typing import Any

from tests.contract.client_steps import GeneratedClient, wait_for_the_job


def keep_an_order(client: GeneratedClient) -> None:
    body = client.read_example("OrderContent", "harbour-row-order")
    kept = client.ask("orders.add_order", body=body, idempotency_key="harbour-row-2027-04")
    assert (int(kept.status_code), kept.parsed.state) == (201, "draft")
    assert kept.headers["location"] == f"/v1/orders/{kept.parsed.id}"
    client.found["order"] = kept.parsed.id
    client.found["tag"] = kept.headers["etag"]


def plan_it(client: GeneratedClient) -> None:
    job = _change(client, "orders.plan_order", answer="Job")
    client.found["job"] = job.id
    wait_for_the_job(client)
    order = _read(client)
    assert (order.state, order.plan_id) == ("planned", client.found["plan"])


def accept_it(client: GeneratedClient) -> None:
    body = client.model("Acceptance")(plan_id=client.found["plan"])
    done = _change(client, "orders.accept_order", body=body)
    assert (done.state_before, done.state_after) == ("planned", "accepted")


def receive_a_part(client: GeneratedClient) -> None:
    body = client.read_example("Delivery", "order-delivery")
    assert _change(client, "orders.receive_delivery", body=body).state_after == "partly-received"
    late = client.get("orders.read_back_orders", client.found["order"], answer="BackOrders")
    ready = {opening.mark: opening.ready for opening in late.openings}
    assert ready["W-01"] == 4
    assert {line.sku for line in late.late_lines} >= {"LS-B-120", "LK-Z"}


def cut_some(client: GeneratedClient) -> None:
    body = client.read_example("Cutting", "order-cutting")
    assert _change(client, "orders.note_cutting", body=body).action == "cut"


def return_some(client: GeneratedClient) -> None:
    body = client.read_example("Return", "order-return")
    assert _change(client, "orders.return_goods", body=body).credit.total == "26.49"


def change_it(client: GeneratedClient) -> None:
    body = client.read_example("ChangedOpenings", "order-change")
    order = _change(client, "orders.change_order", body=body, answer="KeptOrder")
    if order.pending_change.job_id:
        client.found["job"] = order.pending_change.job_id
        wait_for_the_job(client)
        _read(client)
    account = client.get("orders.read_change", client.found["order"], answer="ChangeAccount")
    assert account.openings == 18
    assert _change(client, "orders.accept_change").state_after == "partly-received"


def receive_the_rest(client: GeneratedClient) -> None:
    lines = []
    for line in _read(client).lines:
        of_line = {"supplier": line.supplier, "sku": line.sku, "quantity": line.open_}
        if line.made_for:
            of_line["mark"] = line.made_for[0]
        if line.open_:
            lines.append(of_line)
    body = client.model("Delivery").from_dict({"lines": lines})
    assert _change(client, "orders.receive_delivery", body=body).state_after == "wholly-received"


def close_it(client: GeneratedClient) -> None:
    body = client.read_example("Closing", "order-closing")
    assert _change(client, "orders.close_order", body=body).state_after == "closed"
    refused = _ask(client, "orders.close_order", body=body)
    assert (int(refused.status_code), refused.parsed.code) == (409, "not-allowed-now")
    moved = client.get("orders.list_movements", client.found["order"], answer="Movements")
    assert [m.kind for m in moved.entries] == ["delivery", "cutting", "return", "delivery"]


def withdraw_another(client: GeneratedClient) -> None:
    text = json.dumps(client.read_example("OrderContent", "harbour-row-order").to_dict())
    body = client.model("OrderContent").from_dict(json.loads(text))
    kept = client.ask("orders.add_order", body=body)
    client.found |= {"order": kept.parsed.id, "tag": kept.headers["etag"]}
    reason = client.read_example("Withdrawal", "order-withdrawal")
    assert _change(client, "orders.withdraw_order", body=reason).state_after == "withdrawn"
    listed = client.get("orders.list_orders", answer="OrderList")
    assert [entry.state for entry in listed.entries] == ["closed", "withdrawn"]


def _ask(client: GeneratedClient, operation: str, **arguments: Any) -> Any:
    return client.ask(operation, client.found["order"], if_match=client.found["tag"], **arguments)


def _change(
    client: GeneratedClient, operation: str, *, answer: str = "OrderEffect", **arguments: Any
) -> Any:
    response = _ask(client, operation, **arguments)
    assert type(response.parsed) is client.model(answer), response.content
    client.found["tag"] = response.headers["etag"]
    return response.parsed


def _read(client: GeneratedClient) -> Any:
    response = client.ask("orders.read_order", client.found["order"])
    client.found["tag"] = response.headers["etag"]
    return response.parsed


ORDER_STEPS: tuple[Callable[[GeneratedClient], None], ...] = (
    keep_an_order,
    plan_it,
    accept_it,
    receive_a_part,
    cut_some,
    return_some,
    change_it,
    receive_the_rest,
    close_it,
    withdraw_another,
)
"""In this order."""
