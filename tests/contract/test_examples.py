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


@pytest.mark.parametrize("what", ["plan", "takeoff"])
def test_the_service_answers_an_example_order_with_the_example_answer(
    address: str, what: str
) -> None:
    path = f"/v1/{what}s"
    answer = send(address, path, "ten-doors", "application/json")
    shown = (EXAMPLES / f"ten-doors.{what}.json").read_text(encoding="utf-8")
    assert answer.json() == json.loads(shown)
    text = send(address, path, "ten-doors", "text/plain").text
    assert text == (EXAMPLES / f"ten-doors.{what}.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("path", ["/v1/plans", "/v1/takeoffs"])
def test_every_example_order_is_answered(address: str, path: str) -> None:
    orders = [
        file.stem for file in sorted(EXAMPLES.glob("*.json"))
        if "openings" in (held := json.loads(file.read_text(encoding="utf-8")))
        and "policy" in held
    ]  # fmt: skip
    assert {"ten-doors", "mixed-openings"} <= set(orders)
    for order in orders:
        answer = send(address, path, order, "application/json")
        assert answer.status_code == 200, (order, answer.text)
