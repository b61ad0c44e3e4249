"""Purchase orders of plans that are kept."""

import json
from pathlib import Path

from tests.store.serving import two_tenants
from tests.store.test_jobs import LATER, wait_for

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
TO_ORDER = json.loads((EXAMPLES / "ten-doors-to-order.json").read_text(encoding="utf-8"))
SHOWN = json.loads((EXAMPLES / "ten-doors-to-order.orders.json").read_text(encoding="utf-8"))


def test_a_kept_plan_is_ordered_as_the_order_by_value_is(store_url: str) -> None:
    order = {name: value for name, value in TO_ORDER.items() if name != "ordering"}
    ordering = TO_ORDER["ordering"]
    with two_tenants(store_url, solves=True) as service:
        row = service.row
        accepted = row.post("/v1/plans", json=order, headers=LATER)
        place = wait_for(row, accepted.headers["location"])["plan"] + "/purchase-orders"
        assert row.post(place, json=ordering).json() == SHOWN
        alone = row.post(place, json=ordering, headers={"accept": "application/xml"})
        assert alone.content.decode() == SHOWN["purchase_orders"][0]["xml"]
        ordering = {**ordering, "order_id": " ", "suppliers": [{"supplier": "Elsewhere"}]}
        refused = row.post(place, json=ordering)
        assert (refused.status_code, refused.json()["code"]) == (422, "invalid-content")
        assert [fault["pointer"] for fault in refused.json()["faults"]] == [
            "/order_id",
            "/suppliers/0/supplier",
        ]
        missing = row.post("/v1/plans/none/purchase-orders", json=TO_ORDER["ordering"])
        assert missing.status_code == 404
