"""Requests generated from the OpenAPI document against a served instance, phase by phase.

The examples of the document, the bounds of its schemas, drawn requests, and requests that follow
one from another: what an answer holds is put into the next request. Every check of
`tests/contract/generated_requests.py` is asked of every answer.
"""

import argparse
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import schemathesis
from schemathesis import Case
from schemathesis.engine import from_schema
from schemathesis.engine.events import NonFatalError, ScenarioFinished

from service.app import HANDLERS
from service.contract import build_document
from service.examples import examples_folder
from tests.benchmark.served import Served, served
from tests.contract.generated_requests import (
    CHECKS,
    OPERATIONS,
    PLANNED,
    limit_the_time,
    refusals_go_beyond_the_schema,
)
from tests.store.serving import make_keys
from tests.stores import BACKENDS, SQLITE, new_store_url

HELP = "send requests generated from the OpenAPI document; any check that fails is told"
PHASES = ("examples", "coverage", "fuzzing", "stateful")
STEPS = 6
"""Requests of a chain, at most."""
MOST_SHOWN = 40


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the campaign."""
    parser.add_argument("--store", choices=BACKENDS, default=SQLITE)
    parser.add_argument("--cases", type=int, default=5_000, help="how many, over all phases")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--phases", choices=PHASES, nargs="+", default=list(PHASES))
    parser.add_argument("--minutes", type=float, default=60, help="begin nothing new after so long")


def run(options: argparse.Namespace) -> int:
    """Run the campaign; return 1 where a check failed."""
    schemathesis.check(refusals_go_beyond_the_schema)
    schemathesis.hook("before_call")(limit_drawn_orders)
    bounds = Bounds()
    # A hook has to be a function: the library notes things on it.
    schemathesis.hook("filter_case")(lambda context, case: bounds.let_pass(case))
    sent: Counter[str] = Counter()
    failures: dict[str, str] = {}
    started = time.monotonic()
    document = build_document(HANDLERS, examples_folder())
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        url = stack.enter_context(new_store_url(options.store, folder))
        (made,) = make_keys(url, {"tenant": "harbour-row"})
        service = stack.enter_context(served(url, folder))
        for number, phase in enumerate(options.phases):
            # What earlier phases have left over goes to the later ones.
            share = (options.cases - sent.total()) // (len(options.phases) - number)
            seconds = options.minutes * 60 - (time.monotonic() - started)
            if share <= 0 or seconds <= 0:
                continue
            schema = schemathesis.openapi.from_dict(
                document, config=_configure(service, made.key, phase, share, options.seed)
            )
            bounds.most = max(1, share // len(HANDLERS)) if phase == "coverage" else None
            begun = time.monotonic()
            for found in _run_phase(schema, phase, share, seconds, sent):
                failures.setdefault(*found)
            print(f"{phase}: {sent[phase]:,} cases in {time.monotonic() - begun:.0f} s", flush=True)
        traces = service.log().count("Traceback")
    print(
        f"{sent.total():,} cases on {options.store} in {time.monotonic() - started:.0f} s, seed "
        f"{options.seed}: {len(failures)} failures, {traces} stack traces in the log"
    )
    for name, told in list(failures.items())[:MOST_SHOWN]:
        print(f"\n{name}\n{told}")
    return 1 if failures or traces else 0


@dataclass
class Bounds:
    """Lets so many cases of an operation pass, the first ones; without `most`, all of them.

    The requests at the bounds of a whole order's schema are thousands.
    """

    most: int | None = None
    passed: Counter[str] = field(default_factory=Counter)

    def let_pass(self, case: Case) -> bool:
        """Return whether a case is sent."""
        label = case.operation.label
        if self.most is not None and self.passed[label] >= self.most:
            return False
        self.passed[label] += self.most is not None
        return True


def limit_drawn_orders(context: object, case: Case, kwargs: dict[str, Any]) -> None:
    """Give a drawn order a second, as beside the tests."""
    if case.path in PLANNED:
        limit_the_time(case.body)


def _configure(service: Served, key: str, phase: str, share: int, seed: int) -> schemathesis.Config:
    per_operation = max(1, share // (len(HANDLERS) * (STEPS if phase == "stateful" else 1)))
    return schemathesis.Config.from_dict(
        {
            "seed": seed,
            "continue-on-failure": True,
            "base-url": service.address,
            "headers": {"Authorization": f"Bearer {key}"},
            "request-timeout": 90,
            "checks": CHECKS,
            "operations": OPERATIONS,
            "suppress-health-check": ["all"],
            "generation": {
                "max-examples": share if phase == "stateful" else per_operation,
                "no-shrink": True,
                "database": "none",
            },
            "phases": {name: {"enabled": name == phase} for name in PHASES},
        }
    )


def _run_phase(
    schema: Any, phase: str, share: int, seconds: float, sent: Counter[str]
) -> Iterator[tuple[str, str]]:
    """Send the cases of a phase and count them; give what failed, under a name each."""
    with _ended(from_schema(schema).execute(), seconds) as events:
        for event in events:
            if isinstance(event, NonFatalError):
                yield f"{phase}, {event.label}: {type(event.value).__name__}", str(event.value)
            if not isinstance(event, ScenarioFinished):
                continue
            sent[phase] += len(event.recorder.interactions)
            yield from _failures_of(phase, event)
            if sent[phase] >= share:
                return


@contextmanager
def _ended(events: Any, seconds: float) -> Iterator[Any]:
    at_the_end = threading.Timer(seconds, events.stop)
    at_the_end.start()
    try:
        yield events
    finally:
        at_the_end.cancel()
        events.stop()


def _failures_of(phase: str, event: ScenarioFinished) -> Iterator[tuple[str, str]]:
    recorder = event.recorder
    for case_id, checks in recorder.checks.items():
        for check in checks:
            if check.failure_info is None:
                continue
            case = recorder.cases[case_id].value
            name = f"{phase}, {case.operation.label}: {check.name}"
            yield name, f"{check.failure_info.failure}\n{check.failure_info.code_sample[:1_500]}"
