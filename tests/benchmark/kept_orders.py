"""What a service was asked to keep, and whether it still has it, whatever happened to its store."""

import json
import time
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import httpx

from tests.benchmark.served import ROOT

_EXAMPLES = ROOT / "openapi" / "examples"
_ORDER = json.loads((_EXAMPLES / "harbour-row-order.json").read_text(encoding="utf-8"))
TEN_DOORS = (_EXAMPLES / "ten-doors.json").read_bytes()


@dataclass
class KeptOrders:
    """Orders that were sent, each under a key of its own, and what was answered.

    `findings` is what should not have been; `refused` counts the clear refusals.
    """

    kept: dict[str, Any] = field(default_factory=dict)
    jobs: set[str] = field(default_factory=set)
    asked: int = 0
    refused: int = 0
    slowest_seconds: float = 0.0
    findings: Counter[str] = field(default_factory=Counter)

    def send(self, client: httpx.Client, count: int, *, again_from: int | None = None) -> int:
        """Send orders to be kept; return how many were. `again_from` sends those once more."""
        kept = 0
        first = self.asked if again_from is None else again_from
        for number in range(first, first + count):
            order = {**_ORDER, "reference": f"Harbour Row, order {number:04}"}
            answer = self._ask(client, "POST", "/v1/orders", number, json=order)
            if answer is not None:
                self.kept[answer.headers["location"]] = answer.json()
                kept += 1
        self.asked = max(self.asked, first + count)
        return kept

    def queue(self, client: httpx.Client, key: str) -> None:
        """Queue an order to be planned."""
        headers = {"prefer": "respond-async", "content-type": "application/json"}
        answer = self._ask(client, "POST", "/v1/plans", key, content=TEN_DOORS, headers=headers)
        if answer is not None:
            self.jobs.add(answer.headers["location"])

    def read(self, client: httpx.Client) -> int:
        """Read every order that is kept; return how many were answered, each as it was."""
        right = 0
        for place, was in self.kept.items():
            answer = self._ask(client, "GET", place)
            if answer is not None and answer.json() == was:
                right += 1
            elif answer is not None:
                self.findings["an order is not as it was kept"] += 1
        return right

    def check_all_is_kept(self, client: httpx.Client) -> None:
        """Note what is lost, doubled or half done, now that the fault is gone."""
        refused = self.refused
        if self.read(client) != len(self.kept) or self.refused != refused:
            self.findings["an order that was kept cannot be read"] += 1
        listed = _list(client, "/v1/orders")
        references = Counter(order["reference"] for order in listed)
        if len(listed) != len(self.kept) or set(references.values()) - {1}:
            self.findings[f"{len(listed)} orders are listed where {len(self.kept)} are due"] += 1
        for job in self.jobs:
            deadline = time.monotonic() + 60
            while (status := client.get(job).json().get("status")) in {"queued", "running"}:
                if time.monotonic() > deadline:
                    break
                time.sleep(0.2)
            if status != "finished":
                self.findings[f"a job is {status}"] += 1

    def _ask(
        self, client: httpx.Client, method: str, path: str, key: object = None, **what: Any
    ) -> httpx.Response | None:
        """Return an answer that is good; nothing where it is a clear refusal, or a finding."""
        headers = what.pop("headers", {})
        if key is not None:
            headers["idempotency-key"] = f"kept-{key}"
        started = time.monotonic()
        answer = client.request(method, path, headers=headers, **what)
        self.slowest_seconds = max(self.slowest_seconds, time.monotonic() - started)
        if answer.is_success:
            return answer
        code = answer.json().get("code")
        if (answer.status_code, code) == (503, "store-failed") and "retry-after" in answer.headers:
            self.refused += 1
        elif (answer.status_code, code) == (409, "still-at-work"):
            # Its claim could not be given up while the store was away; it ends by itself.
            self.refused += 1
        else:
            self.findings[f"{method}: {answer.status_code} {code}"] += 1
        return None


def _list(client: httpx.Client, address: str) -> list[Any]:
    entries: list[Any] = []
    address += "?limit=200"
    while address:
        answer = client.get(address)
        entries += answer.json().get("entries", [])
        address = answer.links.get("next", {}).get("url", "")
    return entries
