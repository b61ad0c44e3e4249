"""The examples in openapi/examples: orders that the service answers as the examples say."""

import json
from pathlib import Path

import httpx
import pytest

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"


def send(address: str, path: str, order: str, accept: str) -> httpx.Response:
    return httpx.post(
        f"{address}{path}",
        content=(EXAMPLES / f"{order}.json").read_bytes(),
        headers={"content-type": "application/json", "accept": accept},
        timeout=120,
    )


LONG = "five-doors"
"""Takes half a minute to solve: it is sent once. Drift of its text is looked for by the export."""


@pytest.mark.parametrize(
    ("order", "what"), [("ten-doors", "plan"), ("ten-doors", "takeoff"), (LONG, "plan")]
)
def test_the_service_answers_an_example_order_with_the_example_answer(
    address: str, order: str, what: str
) -> None:
    path = f"/v1/{what}s"
    answer = send(address, path, order, "application/json")
    shown = (EXAMPLES / f"{order}.{what}.json").read_text(encoding="utf-8")
    assert answer.json() == json.loads(shown)
    if order == LONG:
        return
    text = send(address, path, order, "text/plain").text
    assert text == (EXAMPLES / f"{order}.{what}.txt").read_text(encoding="utf-8")


OFFERED = [
    (path, name)
    for path, item in json.loads((EXAMPLES.parent / "openapi.json").read_text("utf-8"))[
        "paths"
    ].items()
    for name in item.get("post", {})
    .get("requestBody", {})
    .get("content", {})
    .get("application/json", {})
    .get("examples", {})
    if name != LONG and "{" not in path
]


@pytest.mark.parametrize(("path", "name"), OFFERED)
def test_every_example_of_a_request_is_answered(address: str, path: str, name: str) -> None:
    answer = send(address, path, name, "application/json, */*;q=0.1")
    assert answer.is_success, answer.text


def test_every_example_order_is_offered_where_orders_go() -> None:
    assert {("/v1/plans", "ten-doors"), ("/v1/takeoffs", "mixed-openings")} <= set(OFFERED)
