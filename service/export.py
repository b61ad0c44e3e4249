"""Exporting the contract: the examples' answers, made by the service itself, and the document."""

import json
from functools import cache
from pathlib import Path
from typing import Any

from optimiser.rule_sets import known_rule_sets
from service.app import HANDLERS
from service.catalogues import differences, read_catalogue, render_differences
from service.contract import build_document, build_rule_set_schema
from service.fitting import write_calibration_document, write_fit_document
from service.install_documents import (
    prepare_planned_install_sheets,
    write_install_sheets_document,
)
from service.jobs.outcomes import PlanDocument, PlanJob, PlannedToKeep
from service.jobs.work import carry_out, standard_output_kept_clean
from service.mapping.reading import read_request
from service.mapping.rule_sets_out import write_rule_set, write_summary
from service.output import write_file
from service.purchase_orders import prepare_purchase_orders
from service.quote_command import quote_changed_order
from service.quote_differences import prepare_changed_order
from service.quotes import prepare_quote
from service.sheet_commands import Writer
from service.site_documents import (
    write_measurement_sheets_document,
    write_reading_checks_document,
)
from service.study_command import write_study_document
from service.use_cases import find_rule_set, settle_outcome, write_takeoff_document
from service.wire.order import Order
from service.wire.rule_sets import RuleSets

ANSWERED = "ten-doors"
"""The example order whose plan and takeoff are examples too."""

BOUGHT = "five-doors"
"""The example order whose plan shows the terms of buying."""

CUT = "mixed-openings"
"""The example order whose bench sheets are an example: most of it is cut."""

SPLICED = "spliced-jambs"
"""The example order whose plan's install sheets are an example: its jambs are spliced."""

ORDERED = "ten-doors-to-order"
"""The example order whose purchase orders are an example."""

QUOTED = "harbour-row-quote"
"""The example order with terms whose quote is an example."""

REQUOTED = "harbour-row-requote"
"""The example order with terms and a change whose difference is an example."""

EARLY, LATE = "larkmoor-spring", "larkmoor-autumn"
"""The example catalogues of which the difference is an example."""

WORKED_OUT: tuple[tuple[str, str, Writer], ...] = (
    ("front-doors", "install", write_install_sheets_document),
    ("rooms-to-measure", "measure", write_measurement_sheets_document),
    ("window-readings", "check", write_reading_checks_document),
    ("door-fit", "fit", write_fit_document),
    ("nail-samples", "calibration", write_calibration_document),
    ("ten-doors-study", "study", write_study_document),
    ("ten-doors-questions", "study", write_study_document),
)
"""Example inputs, the name of what is worked out from them, and what writes it."""


def export_contract(folder: Path) -> list[Path]:
    """Write the examples' answers and the documents to the folder; return what changed."""
    changed = []
    # The document of the API shows the examples, so they come first.
    for documents in (_answers, documents_of):
        for path, document in documents(folder).items():
            if _differs(path, document):
                write_file(path, document)
                changed.append(path)
    return changed


def find_drift(folder: Path) -> list[Path]:
    """Return the files of the folder that an export would change; writes nothing."""
    return find_differing({**_answers(folder), **documents_of(folder)})


def find_differing(made: dict[Path, bytes]) -> list[Path]:
    """Return the files that hold something else than was made, or are missing."""
    return [path for path, document in made.items() if _differs(path, document)]


def documents_of(folder: Path) -> dict[Path, bytes]:
    """Return the documents of the contract with their paths."""
    return {
        folder / "openapi.json": _pretty(build_document(HANDLERS, folder / "examples")),
        folder / "rule-set.schema.json": _pretty(build_rule_set_schema()),
    }


def _answers(folder: Path) -> dict[Path, bytes]:
    """Return each example of an answer with its path."""
    folder = folder / "examples"
    documents: dict[Path, bytes] = {}
    for as_text, ending in ((False, "json"), (True, "txt")):
        body = (folder / f"{ANSWERED}.json").read_bytes()
        takeoff = write_takeoff_document(read_request(body, Order), body, as_text=as_text)
        for name, document in (
            (f"{ANSWERED}.plan", _plan(folder, ANSWERED, as_text)),
            (f"{ANSWERED}.takeoff", takeoff),
            (f"{BOUGHT}.plan", _plan(folder, BOUGHT, as_text)),
            (f"{CUT}.bench", _of_plan(folder, CUT, PlanDocument.BENCH_SHEETS, as_text)),
            (f"{SPLICED}.install", _of_planned_sheets(folder, as_text)),
            (f"{QUOTED}.quote", _quote(folder, PlanDocument.QUOTE, as_text)),
            *(
                (f"{name}.{what}", write((folder / f"{name}.json").read_bytes(), as_text))
                for name, what, write in WORKED_OUT
            ),
        ):
            pretty = document if as_text else _pretty(json.loads(document))
            documents[folder / f"{name}.{ending}"] = pretty
    ordered = (folder / f"{ORDERED}.json").read_bytes()
    orders = json.loads(_carry_out(prepare_purchase_orders(ordered), ordered))
    documents[folder / f"{ORDERED}.orders.json"] = _pretty(orders)
    requoted = prepare_changed_order((folder / f"{REQUOTED}.json").read_bytes())
    as_json, text = (quote_changed_order(requoted, as_text=as_text) for as_text in (False, True))
    documents[folder / f"{REQUOTED}.difference.json"] = _pretty(json.loads(as_json))
    documents[folder / f"{REQUOTED}.difference.txt"] = text
    inside = _quote(folder, PlanDocument.QUOTE_INSIDE, True)
    documents[folder / f"{QUOTED}.quote-inside.txt"] = inside
    early, late = (read_catalogue((folder / f"{name}.json").read_bytes()) for name in (EARLY, LATE))
    compared = differences(early, late)
    documents[folder / f"{LATE}.difference.json"] = _pretty(compared.model_dump(mode="json"))
    documents[folder / f"{LATE}.difference.txt"] = render_differences(compared).encode()
    listed = RuleSets(rule_sets=[write_summary(rule_set) for rule_set in known_rule_sets()])
    read = write_rule_set(find_rule_set("interlocking-strip"))
    documents[folder / "rule-sets.json"] = _pretty(listed.model_dump(mode="json"))
    documents[folder / "interlocking-strip.json"] = _pretty(read.model_dump(mode="json"))
    return documents


def _plan(folder: Path, name: str, as_text: bool) -> bytes:
    """Return the plan of an example order."""
    as_json, text = _plan_both_ways((folder / f"{name}.json").read_bytes())
    return text if as_text else as_json


@cache
def _plan_both_ways(body: bytes) -> tuple[bytes, bytes]:
    """Return a plan as JSON and as text, solved once."""
    request = read_request(body, Order)
    job = PlanJob(
        order=request.order,
        rule_sets=request.rule_sets,
        as_text=False,
        document=PlanDocument.KEPT,
    )
    with standard_output_kept_clean():
        planned = settle_outcome(carry_out(job), body)
    assert isinstance(planned, PlannedToKeep)
    return planned.document, planned.text.encode()


def _of_plan(folder: Path, name: str, wanted: PlanDocument, as_text: bool) -> bytes:
    """Return a document of the plan of an example order."""
    body = (folder / f"{name}.json").read_bytes()
    request = read_request(body, Order)
    job = PlanJob(
        order=request.order, rule_sets=request.rule_sets, as_text=as_text, document=wanted
    )
    return _carry_out(job, body)


def _of_planned_sheets(folder: Path, as_text: bool) -> bytes:
    """Return the install sheets of the plan of an example order."""
    body = (folder / f"{SPLICED}.json").read_bytes()
    return _carry_out(prepare_planned_install_sheets(body, as_text), body)


def _quote(folder: Path, wanted: PlanDocument, as_text: bool) -> bytes:
    """Return a part of the quote of an example order with terms; as JSON both."""
    body = (folder / f"{QUOTED}.json").read_bytes()
    return _carry_out(prepare_quote(body, as_text, document=wanted), body)


def _carry_out(job: PlanJob, body: bytes) -> bytes:
    with standard_output_kept_clean():
        outcome = carry_out(job)
    return settle_outcome(outcome, body).document


def _pretty(value: Any) -> bytes:
    return (json.dumps(value, indent=2, ensure_ascii=False) + "\n").encode()


def _differs(path: Path, document: bytes) -> bool:
    return not path.is_file() or path.read_bytes() != document
