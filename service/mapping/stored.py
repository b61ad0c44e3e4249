"""Reading what is to be kept in versions, with every fault, and writing what is kept."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any, TypeVar

from optimiser.domain.faults import Fault
from optimiser.rule_sets import RuleSetError, read_rule_set
from optimiser.units.lengths import LengthUnit
from service.json_text import MalformedJson, read_json, write_json
from service.mapping.faults import FaultGatherer
from service.mapping.fit_in import FitReader
from service.mapping.lengths_with_units import write_with_units
from service.mapping.rule_sets_in import without_nulls
from service.mapping.sound_parts import find_every_fault
from service.mapping.validation import validate
from service.problems import MALFORMED_JSON, Problem, count_faults
from service.resource_problems import INVALID_CONTENT
from service.store.documents import Content, version_on
from service.store.rows import StoredRow
from service.wire import limits, stored
from service.wire.base import WireModel
from service.wire.fit import Profile

M = TypeVar("M", bound=WireModel)

FindFaults = Callable[[Any, LengthUnit], list[Fault]]
"""Takes the content as it was sent and its unit; returns what the schema cannot say is wrong."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NewContent:
    """A content to keep. `name` is empty where a version is added to what is there."""

    name: str
    content: Content


def read_new_content(body: bytes, model: type[WireModel], find_faults: FindFaults) -> NewContent:
    """Return what a request asks to keep.

    Raises:
        Problem: malformed JSON or an invalid content; every fault is listed.
    """
    try:
        raw = read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None
    validated = validate(model, raw)
    faults = validated if isinstance(validated, list) else []
    unit = LengthUnit.INCH
    if isinstance(raw, dict) and raw.get("unit") in list(LengthUnit):
        unit = LengthUnit(raw["unit"])
    if isinstance(raw, dict) and isinstance(raw.get("content"), dict):
        told = {(fault.path, fault.code) for fault in faults}
        found = find_faults(raw["content"], unit)
        faults = [*faults, *(f for f in found if (f.path, f.code) not in told)]
    faults = [*faults, *find_faults_of_days(raw)]
    if faults:
        raise Problem(INVALID_CONTENT, count_faults(tuple(faults)), faults=faults)
    assert isinstance(validated, stored.NewVersion)
    return make_content(validated, validated.content)  # type: ignore[attr-defined]


def make_content(stated: stored.NewVersion, content: WireModel) -> NewContent:
    """Return a content to keep, with what is stated of it."""
    return NewContent(
        name=getattr(stated, "name", None) or "",
        content=Content(
            body=write_json(write_with_units(content, stated.unit)),
            valid_from=_read_day(stated.valid_from),
            valid_until=_read_day(stated.valid_until),
            remark=stated.remark,
        ),
    )


def find_catalogue_faults(content: Any, unit: LengthUnit) -> list[Fault]:
    """Return what is wrong with a catalogue that the schema cannot say."""
    order = {"unit": unit.value, "openings": [], "catalogues": [content]}
    found = find_every_fault(
        order, (), buys=True, longest_time_limit_seconds=limits.LONGEST_TIME_LIMIT_SECONDS
    )
    return [
        Fault(("content", *fault.path[2:]), fault.code, fault.message)
        for fault in found
        if fault.path[:2] == ("catalogues", 0)
    ]


def find_rule_set_faults(content: Any, unit: LengthUnit) -> list[Fault]:
    """Return what is wrong with a rule set that the schema cannot say."""
    try:
        read_rule_set(without_nulls(content))
    except RuleSetError as error:
        return [Fault(("content", *f.path), f.code, f.message) for f in error.faults]
    return []


def find_profile_faults(content: Any, unit: LengthUnit) -> list[Fault]:
    """Return what is wrong with a profile that the schema cannot say."""
    profile = validate(Profile, content)
    if isinstance(profile, list):
        return []
    gatherer = FaultGatherer({"content": content})
    FitReader(unit, (), gatherer).read_profile(profile, "content")
    return gatherer.faults


def write_moment(moment: datetime) -> str:
    """Return a moment in UTC as RFC 3339 has it."""
    return moment.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def write_summary(
    document: StoredRow, versions: Sequence[StoredRow], today: date
) -> stored.StoredSummary:
    """Return what is kept under a name, in short."""
    current = version_on(versions, today)
    return stored.StoredSummary(
        name=document.name,
        latest=document.latest,
        current=None if current is None else current.number,
        created_at=write_moment(document.created_at),
        changed_at=write_moment(document.changed_at),
    )


def write_version(version: StoredRow) -> stored.VersionSummary:
    """Return a version without its content."""
    return stored.VersionSummary(**_facts_of(version))


def write_whole_version(version: StoredRow, model: type[M]) -> M:
    """Return a version with its content."""
    return model.model_validate({**_facts_of(version), "content": read_json(version.body.encode())})


def _facts_of(version: StoredRow) -> dict[str, Any]:
    return {
        "number": version.number,
        "valid_from": version.valid_from and version.valid_from.isoformat(),
        "valid_until": version.valid_until and version.valid_until.isoformat(),
        "remark": version.remark,
        "digest": version.digest,
        "created_at": write_moment(version.created_at),
        "created_by": version.created_by,
    }


def find_faults_of_days(raw: Any) -> list[Fault]:
    """Return what is wrong with the days of an object that the schema cannot say."""
    if not isinstance(raw, dict):
        return []
    days: dict[str, date] = {}
    faults = []
    for member in ("valid_from", "valid_until"):
        stated = raw.get(member)
        if isinstance(stated, str):
            try:
                days[member] = date.fromisoformat(stated)
            except ValueError:
                if len(stated) == len("2027-03-01"):
                    message = f"{member}: {stated!r} is no day of the calendar; correct it."
                    faults.append(Fault((member,), "no-such-day", message))
    if len(days) == 2 and days["valid_until"] < days["valid_from"]:
        message = (
            f"valid_until: {days['valid_until']} lies before valid_from, {days['valid_from']}; "
            "correct one of them."
        )
        faults.append(Fault(("valid_until",), "ends-before-it-begins", message))
    return faults


def _read_day(stated: str | None) -> date | None:
    return None if stated is None else date.fromisoformat(stated)
