"""Requests that are refused: the status, the code and the place of every fault."""

import json
from collections.abc import Iterator
from typing import Any

import httpx
import pytest

from tests.harbour_row import ten_doors

JSON = {"content-type": "application/json"}
POSTS = pytest.mark.parametrize("path", ["/v1/plans", "/v1/takeoffs"])


def send(client: httpx.Client, body: str | bytes, path: str = "/v1/plans") -> httpx.Response:
    return client.post(path, content=body, headers=JSON)


def refused(answer: httpx.Response, status: int, code: str) -> dict[str, Any]:
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    problem: dict[str, Any] = answer.json()
    assert problem["status"] == status
    assert problem["code"] == code
    assert problem["type"] == f"/docs#{code}"
    assert problem["request_id"] == answer.headers["x-request-id"]
    return problem


def faults_of(problem: dict[str, Any]) -> set[tuple[str, str]]:
    return {(fault["pointer"], fault["code"]) for fault in problem["faults"]}


def order_with(**openings: Any) -> str:
    order = ten_doors()
    order["openings"][0].update(openings)
    return json.dumps(order)


@POSTS
@pytest.mark.parametrize(
    ("body", "pointer", "code"),
    [
        (b"", "", "empty-body"),
        (b" \n", "", "empty-body"),
        (b"{", "", "not-json"),
        (b"{'openings': []}", "", "not-json"),
        (b"\xff\xfe{}", "", "not-utf-8"),
        (b'{"reference": "\xc3\x28"}', "", "not-utf-8"),
        (b'{"reference": "a\x00b"}', "", "not-json"),
        (b'{"reference": "a\\u0000b"}', "/reference", "forbidden-character"),
        (b'{"reference": "\\ud800"}', "/reference", "forbidden-character"),
        (b'{"policy": {"kerf": NaN}}', "/policy/kerf", "not-a-json-number"),
        (b'{"policy": {"kerf": -Infinity}}', "/policy/kerf", "not-a-json-number"),
        (b'{"policy": {"kerf": 1e999999}}', "/policy/kerf", "number-out-of-range"),
        (b'{"policy": {"kerf": 1e-999999}}', "/policy/kerf", "number-out-of-range"),
        (b'{"policy": {"kerf": 1e99999999999999999999}}', "/policy/kerf", "number-out-of-range"),
        (b'{"policy": {"kerf": ' + b"9" * 5000 + b"}}", "/policy/kerf", "number-out-of-range"),
        (b'{"unit": "in", "unit": "mm"}', "/unit", "repeated-member"),
        (b"[" * 100_000, "", "nested-too-deeply"),
        (b"[" * 100_000 + b"]" * 100_000, "", "nested-too-deeply"),
        (b'{"a":' * 50_000 + b"1" + b"}" * 50_000, "", "nested-too-deeply"),
        (b"[" * 40 + b"]" * 40, "/0" * 32, "nested-too-deeply"),
    ],
)
def test_a_body_that_is_not_sound_json_is_refused_with_400(
    client: httpx.Client, path: str, body: bytes, pointer: str, code: str
) -> None:
    problem = refused(send(client, body, path), 400, "malformed-json")
    assert faults_of(problem) == {(pointer, code)}


@POSTS
@pytest.mark.parametrize("body", ["[]", "null", '"order"', "12", "true"])
def test_json_that_is_not_an_object_is_refused_with_422(
    client: httpx.Client, path: str, body: str
) -> None:
    problem = refused(send(client, body, path), 422, "invalid-order")
    assert faults_of(problem) == {("", "wrong-type")}


@POSTS
@pytest.mark.parametrize(
    "content_type",
    ["text/plain", "application/x-www-form-urlencoded", "application/json; charset=latin-1", ""],
)
def test_another_media_type_is_refused_with_415(
    client: httpx.Client, path: str, content_type: str
) -> None:
    headers = {"content-type": content_type} if content_type else {}
    answer = client.post(path, content=json.dumps(ten_doors()).encode(), headers=headers)
    problem = refused(answer, 415, "unsupported-media-type")
    assert "application/json" in problem["detail"]


def test_json_with_the_charset_utf_8_is_taken(client: httpx.Client) -> None:
    answer = client.post(
        "/v1/takeoffs",
        content=json.dumps(ten_doors()),
        headers={"content-type": 'application/json; charset="UTF-8"'},
    )
    assert answer.status_code == 200


def test_a_compressed_body_is_refused_with_415(client: httpx.Client) -> None:
    answer = client.post("/v1/plans", content=b"x", headers={**JSON, "content-encoding": "gzip"})
    refused(answer, 415, "unsupported-media-type")


@POSTS
def test_a_body_of_20_mb_is_refused_before_it_is_read(client: httpx.Client, path: str) -> None:
    problem = refused(send(client, b" " * 20_000_000, path), 413, "body-too-large")
    assert "16,777,216 bytes" in problem["detail"]


@POSTS
def test_a_chunked_body_is_refused_as_soon_as_it_passes_the_limit(
    client: httpx.Client, path: str
) -> None:
    sent = 0

    def chunks() -> Iterator[bytes]:
        nonlocal sent
        for _ in range(20):
            sent += 1_000_000
            yield b" " * 1_000_000

    refused(client.post(path, content=chunks(), headers=JSON), 413, "body-too-large")


@POSTS
def test_an_empty_batch_is_refused(client: httpx.Client, path: str) -> None:
    order = ten_doors()
    order["openings"] = []
    problem = refused(send(client, json.dumps(order), path), 422, "invalid-order")
    assert faults_of(problem) == {("/openings", "number-of-entries")}


@POSTS
def test_a_quantity_of_0_is_refused(client: httpx.Client, path: str) -> None:
    problem = refused(send(client, order_with(quantity=0), path), 422, "invalid-order")
    assert problem["faults"] == [
        {
            "pointer": "/openings/0/quantity",
            "code": "out-of-range",
            "message": "Opening D-01, quantity: 0 is too low; send 1 or more.",
        }
    ]


def test_a_piece_longer_than_any_stock_names_the_piece_the_limit_and_the_remedy(
    client: httpx.Client,
) -> None:
    order = ten_doors(allow_kits=False)
    order["openings"][0]["size"]["height"] = 130
    problem = refused(send(client, json.dumps(order)), 422, "no-plan")
    fault = problem["faults"][0]
    assert fault["pointer"] == "/openings/0"
    assert fault["code"] == "piece-too-long"
    for said in ("D-01", "130 in", "120 in", "add a longer stock length"):
        assert said in fault["message"]


def test_a_sku_twice_is_refused_at_its_second_place(client: httpx.Client) -> None:
    order = ten_doors()
    order["catalogues"][0]["fastener_packs"][0]["sku"] = "LK-Z"
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert faults_of(problem) == {("/catalogues/0/fastener_packs/0/sku", "repeated-sku")}


def test_two_currencies_are_refused(client: httpx.Client) -> None:
    order = ten_doors()
    order["currency"] = "EUR"
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert faults_of(problem) == {("/currency", "currency-mismatch")}
    assert "EUR" in problem["detail"]
    assert "USD" in problem["detail"]


def test_an_unknown_currency_is_refused(client: httpx.Client) -> None:
    order = ten_doors()
    order["catalogues"][0]["currency"] = "ZZZ"
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert faults_of(problem) == {("/catalogues/0/currency", "unknown-currency")}


def test_money_as_a_number_is_refused_with_what_to_send(client: httpx.Client) -> None:
    order = ten_doors()
    order["catalogues"][0]["fastener_packs"][0]["price"] = 2.85
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert problem["faults"] == [
        {
            "pointer": "/catalogues/0/fastener_packs/0/price",
            "code": "money-as-number",
            "message": 'SKU LN-01, price: 2.85 is a number; send money as a text, such as "12.40", '
            "so that no digit is lost.",
        }
    ]


def test_faults_of_form_and_of_value_come_together(client: httpx.Client) -> None:
    order = ten_doors()
    door = order["openings"][0]
    order["openings"] = [
        {**door, "mark": "D-1", "size": {"width": "36 1/x in", "height": 80}},
        {**door, "mark": "D-2", "size": "68"},
        {**door, "mark": "D-3", "colour": "green"},
        {**door, "mark": "D-4", "kind": "trapdoor", "fastener_spacing": True},
    ]
    order["catalogues"][0]["fastener_packs"][0]["contents"] = {
        "count_per_weight": "1040",
        "weight": "1 stone",
        "pack_weight": "0 oz",
    }
    del order["catalogues"][0]["kits"][0]["price"]
    order["policy"] = {"kerf": "1/16 yd"}
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert faults_of(problem) == {
        ("/openings/0/size/width", "unreadable-length"),
        ("/openings/1/size", "unreadable-door-size"),
        ("/openings/2/colour", "unknown-member"),
        ("/openings/3/kind", "not-one-of"),
        ("/openings/3/fastener_spacing", "wrong-type"),
        ("/catalogues/0/fastener_packs/0/contents/weight", "unreadable-mass"),
        ("/catalogues/0/fastener_packs/0/contents/pack_weight", "unreadable-mass"),
        ("/catalogues/0/kits/0/price", "missing"),
        ("/policy/kerf", "unreadable-length"),
    }
    assert problem["fault_count"] == 9


def test_a_fault_of_form_hides_no_fault_of_value_beside_it(client: httpx.Client) -> None:
    order = ten_doors(kerf="x", alternatives="yes")
    order["openings"][0].update(size="36 x eighty", quantity=0, colour="green", finish=None)
    catalogue = order["catalogues"][0]
    catalogue["stock_lengths"][0].update(length="7 yd", price=11.48)
    catalogue["kits"][1]["fasteners"]["spacing"] = "wide"
    catalogue["kits"][1]["sku"] = ""
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert faults_of(problem) == {
        ("/openings/0/size", "unreadable-door-size"),
        ("/openings/0/quantity", "out-of-range"),
        ("/openings/0/colour", "unknown-member"),
        ("/openings/0/finish", "wrong-type"),
        ("/catalogues/0/stock_lengths/0/length", "unreadable-length"),
        ("/catalogues/0/stock_lengths/0/price", "money-as-number"),
        ("/catalogues/0/kits/1/fasteners/spacing", "unreadable-length"),
        ("/catalogues/0/kits/1/sku", "wrong-form"),
        ("/policy/kerf", "unreadable-length"),
        ("/policy/alternatives", "wrong-type"),
    }
    assert problem["fault_count"] == 10


def test_a_fault_of_a_side_is_a_fault_of_the_size_that_was_sent_as_text(
    client: httpx.Client,
) -> None:
    order = ten_doors()
    order["openings"][0]["size"] = "0 in x 80 in"
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert {pointer for pointer, _ in faults_of(problem)} == {"/openings/0/size"}


def test_names_in_a_pointer_are_escaped(client: httpx.Client) -> None:
    order = ten_doors()
    order["policy"] = {"a/b~c": 1}
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert faults_of(problem) == {("/policy/a~1b~0c", "unknown-member")}


def test_only_a_thousand_faults_are_listed_and_all_are_counted(client: httpx.Client) -> None:
    order = ten_doors()
    door = order["openings"][0]
    order["openings"] = [{**door, "mark": f"D-{n}", "quantity": 0} for n in range(1_200)]
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert problem["fault_count"] == 1_200
    assert len(problem["faults"]) == 1_000


def test_more_openings_than_the_limit_are_refused(client: httpx.Client) -> None:
    order = ten_doors()
    door = order["openings"][0]
    order["openings"] = [{**door, "mark": f"D-{n}", "quantity": 30_000} for n in range(2)]
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert faults_of(problem) == {("/openings", "too-many-openings")}
    assert "60,000" in problem["detail"]


def test_more_entries_than_the_limit_are_refused(client: httpx.Client) -> None:
    order = ten_doors()
    order["openings"] = [order["openings"][0]] * 50_001
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert ("/openings", "number-of-entries") in faults_of(problem)


def test_more_distinct_lengths_than_the_limit_are_refused(client: httpx.Client) -> None:
    order = ten_doors()
    door = order["openings"][0]
    order["openings"] = [
        {**door, "mark": f"D-{n}", "quantity": 1, "size": {"width": 900 + n, "height": 2000 + n}}
        for n in range(4_000)
    ]
    order["unit"] = "mm"
    for path in ("/v1/plans", "/v1/takeoffs"):
        problem = refused(send(client, json.dumps(order), path), 422, "invalid-order")
        assert faults_of(problem) == {("/openings", "too-many-lengths")}


def test_a_time_limit_out_of_range_is_refused(client: httpx.Client) -> None:
    for seconds in (0, 0.09, 301, "10", None):
        order = ten_doors(time_limit_seconds=seconds)
        problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
        assert {pointer for pointer, _ in faults_of(problem)} == {"/policy/time_limit_seconds"}


def test_library_faults_point_at_their_values(client: httpx.Client) -> None:
    order = ten_doors()
    door = order["openings"][0]
    order["openings"] = [door, {**door, "rule_set": "felt"}]
    problem = refused(send(client, json.dumps(order)), 422, "invalid-order")
    assert faults_of(problem) == {
        ("/openings/1/mark", "duplicate-mark"),
        ("/openings/1/rule_set", "unknown-rule-set"),
    }


def test_an_unknown_address_is_a_problem(client: httpx.Client) -> None:
    refused(client.get("/v2/plans"), 404, "not-found")
    refused(client.get("/v1/rule-sets/felt"), 404, "not-found")
    refused(client.get("/%00%ff"), 404, "not-found")


@POSTS
def test_an_answer_that_is_not_accepted_is_refused_with_406(
    client: httpx.Client, path: str
) -> None:
    answer = client.post(
        path, content=json.dumps(ten_doors()), headers={**JSON, "accept": "application/pdf"}
    )
    problem = refused(answer, 406, "not-acceptable")
    assert "text/plain" in problem["detail"]


@pytest.mark.parametrize(
    "path",
    ["/", "/docs", "/openapi.json", "/v1/rule-sets", "/health/live", "/health/ready", "/metrics",
     "/v1/rule-sets/interlocking-strip", "/docs/style.css"],
)  # fmt: skip
def test_every_get_refuses_what_it_cannot_write(client: httpx.Client, path: str) -> None:
    refused(client.get(path, headers={"accept": "image/png"}), 406, "not-acceptable")
