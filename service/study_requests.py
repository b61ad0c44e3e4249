"""Studies as they are sent: what is kept is put in where it is referred to, before one is read."""

from datetime import date
from typing import Any

from optimiser.domain.faults import Fault
from service.jobs.settled import is_settled
from service.json_text import MalformedJson, read_json, write_json
from service.mapping.inputs import invalid_inputs
from service.problems import MALFORMED_JSON, Problem, count_faults
from service.references import put_in_stored
from service.settings import Settings
from service.store import rows
from service.store.store import Store
from service.store.tables import PLANS
from service.studies.reading import read_study
from service.studies.request import StudyRequest

Path = tuple[str | int, ...]


async def read_sent_study(
    body: bytes, store: Store, tenant: str, day: date, settings: Settings
) -> tuple[bytes, StudyRequest]:
    """Return a study by value, as JSON and as it was read.

    Raises:
        Problem: malformed JSON or invalid inputs; every fault that can be told is listed.
    """
    try:
        raw = read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None
    faults: list[Fault] = []
    if isinstance(raw, dict):
        faults += await _put_in_plan(raw, store, tenant)
        for holder, member, path in _places_of_references(raw):
            by_value = await put_in_stored(write_json(holder[member]).encode(), store, tenant, day)
            holder[member] = read_json(by_value.body)
            faults += [Fault((*path, *f.path), f.code, f.message) for f in by_value.missing]
    by_value_body = write_json(raw).encode()
    places = {fault.path for fault in faults}
    if ("plan_id",) in places:
        places.add(("order",))
    try:
        study = read_study(
            by_value_body, longest_time_limit_seconds=settings.longest_time_limit_seconds
        )
    except Problem as problem:
        # Null stands for what is missing: that is told already.
        found = [f for f in problem.faults if not _told(f.path, places)]
        raise invalid_inputs([*faults, *found]) from None
    longest = settings.longest_study_seconds
    if study.time_limit_seconds > longest:
        path = ("time_limit_seconds",)
        message = (
            f"time_limit_seconds: {study.time_limit_seconds:,} s is more than this service allows, "
            f"{longest:,} s; send that or less."
        )
        faults.append(Fault(path, "time-limit-too-long", message))
    if faults:
        raise invalid_inputs(faults)
    return by_value_body, study


def _places_of_references(raw: dict[str, Any]) -> list[tuple[Any, Any, Path]]:
    """Return what may refer to what is kept: what holds it, under which name, and where."""
    places: list[tuple[Any, Any, Path]] = [(raw, "order", ("order",))]
    for n, scenario in _objects(raw.get("scenarios")):
        places.append((scenario, "patch", ("scenarios", n, "patch")))
    for n, question in _objects(raw.get("questions")):
        places += [
            (question["offers"], m, ("questions", n, "offers", m))
            for m, _ in _objects(question.get("offers"))
        ]
    return [
        (holder, member, path)
        for holder, member, path in places
        if isinstance(holder, list) or isinstance(holder.get(member), dict)
    ]


def _objects(listed: Any) -> list[tuple[int, dict[str, Any]]]:
    entries = enumerate(listed if isinstance(listed, list) else ())
    return [(n, entry) for n, entry in entries if isinstance(entry, dict)]


def _told(path: Path, places: set[Path]) -> bool:
    return any(place[: len(path)] == path for place in places)


async def _put_in_plan(raw: dict[str, Any], store: Store, tenant: str) -> list[Fault]:
    """Put the order of a kept plan in the place of the plan; return what is wrong."""
    plan_id = raw.pop("plan_id", None)
    if plan_id is None:
        return []
    if raw.get("order") is not None:
        message = "plan_id: an order is stated, too; send one of both."
        return [Fault(("plan_id",), "order-or-plan", message)]
    raw["order"] = None
    if not isinstance(plan_id, str):
        return [Fault(("plan_id",), "wrong-type", "plan_id: is no text; send a plan's id.")]
    async with store.reading() as transaction:
        row = await rows.find(transaction, PLANS, tenant, id=plan_id)
    if row is None:
        message = f"plan_id: there is no plan {plan_id[:64]!r}; send the order by value."
        return [Fault(("plan_id",), "unknown-plan", message)]
    if is_settled(row.request.encode()):
        message = (
            f"plan_id: {plan_id} only adds to what was accepted, and its order cannot be stated; "
            "send an order by value."
        )
        return [Fault(("plan_id",), "plan-of-a-change", message)]
    raw["order"] = read_json(row.request.encode())
    return []
