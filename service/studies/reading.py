"""Reading what a study asks, with every fault at once."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from optimiser.domain.faults import Fault
from service.json_text import MalformedJson, read_json
from service.mapping.faults import FaultGatherer
from service.mapping.inputs import invalid_inputs
from service.mapping.reading import OrderRequest, read_decoded
from service.mapping.validation import validate
from service.problems import MALFORMED_JSON, Problem, count_faults
from service.studies.axes import MOST_POINTS, Axis, count_points, count_values, spread
from service.studies.pointer import Pointer, PointerError, read_pointer
from service.wire import limits, studies
from service.wire.order import Order
from service.wire.scalars import MONEY_PATTERN, is_number

_MONEY = re.compile(MONEY_PATTERN[1:-1])
_DEFAULTS: tuple[str, ...] = ("policy", "rack")
"""Members of an order that a pointer may lead into though the order does not state them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """A named change of the order: the patch first, then the values where their pointers lead."""

    name: str
    patch: dict[str, Any]
    values: tuple[tuple[Pointer, Any], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyRequest:
    """What is asked: `raw` is the order as JSON, `base` the same order as it was read."""

    raw: Any
    base: OrderRequest
    scenarios: tuple[Scenario, ...]
    axes: tuple[Axis, ...]
    time_limit_seconds: int
    longest_time_limit_seconds: float

    @property
    def points(self) -> int:
        """Return how many points are asked for."""
        return count_points(len(self.scenarios), [len(axis.values) for axis in self.axes])


def read_study(
    body: bytes, *, longest_time_limit_seconds: float = limits.LONGEST_TIME_LIMIT_SECONDS
) -> StudyRequest:
    """Return what a JSON text asks; its order stands in it by value.

    Raises:
        Problem: malformed JSON or invalid inputs; every fault that can be told is listed.
    """
    try:
        raw = read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None
    if not isinstance(raw, dict):
        found = validate(studies.StudyQuestions, raw)
        assert isinstance(found, list)
        raise invalid_inputs(found)
    order: Any = raw.get("order")
    asked = {name: part for name, part in raw.items() if name != "order"}
    faults: list[Fault] = []
    base: OrderRequest | None = None
    if "order" not in raw:
        faults.append(Fault(("order",), "missing", "order: is missing; send the order."))
    else:
        try:
            base = read_decoded(order, Order, longest_time_limit_seconds=longest_time_limit_seconds)
        except Problem as problem:
            faults += [Fault(("order", *f.path), f.code, f.message) for f in problem.faults]
    validated = validate(studies.StudyQuestions, asked)
    if isinstance(validated, list):
        raise invalid_inputs([*faults, *validated])
    gatherer = FaultGatherer(asked)
    scenarios = tuple(
        _to_scenario(scenario, n, gatherer) for n, scenario in enumerate(validated.scenarios)
    )
    axes = tuple(_to_axis(axis, n, gatherer) for n, axis in enumerate(validated.axes))
    _check_names((s.name for s in scenarios), "scenarios", gatherer)
    _check_names((a.name for a in axes), "axes", gatherer)
    _check_points(len(scenarios), axes, gatherer)
    faults += gatherer.faults
    if faults or base is None:
        raise invalid_inputs(faults)
    return StudyRequest(
        raw={name: {} for name in _DEFAULTS} | order,
        base=base,
        scenarios=scenarios,
        axes=axes,
        time_limit_seconds=validated.time_limit_seconds,
        longest_time_limit_seconds=longest_time_limit_seconds,
    )


def _to_scenario(scenario: studies.Scenario, n: int, gatherer: FaultGatherer) -> Scenario:
    return Scenario(
        name=scenario.name,
        patch=scenario.patch,
        values=tuple(
            (_to_pointer(text, ("scenarios", n, "values", text), gatherer), value)
            for text, value in scenario.values.items()
        ),
    )


def _to_axis(axis: studies.Axis, n: int, gatherer: FaultGatherer) -> Axis:
    pointers = (
        _to_pointer(axis.pointer, ("axes", n, "pointer"), gatherer),
        *(_to_pointer(text, ("axes", n, "also", m), gatherer) for m, text in enumerate(axis.also)),
    )
    values: tuple[Any, ...] = ()
    if (axis.values is None) == (axis.range is None):
        gatherer.add(
            ("axes", n),
            "values-or-range",
            "needs its values or a range of them; state one of both.",
        )
    elif axis.values is not None:
        values = tuple(axis.values)
    elif axis.range is not None:
        values = _to_values(axis.range, n, gatherer)
    return Axis(name=axis.name or axis.pointer, pointers=pointers, values=values)


def _to_pointer(text: str, path: tuple[str | int, ...], gatherer: FaultGatherer) -> Pointer:
    try:
        return read_pointer(text)
    except PointerError as error:
        gatherer.add(path, error.code, str(error))
        return ()


def _to_values(stated: studies.AxisRange, n: int, gatherer: FaultGatherer) -> tuple[Any, ...]:
    path = ("axes", n, "range")
    ends = (stated.first, stated.last, stated.step)
    if not all(map(is_number, ends)) and not all(
        isinstance(end, str) and _MONEY.fullmatch(end) for end in ends
    ):
        gatherer.add(
            path,
            "mixed-range",
            'has ends of different kinds; send three numbers, or three amounts such as "4.00".',
        )
        return ()
    first, last, step = (Decimal(end) for end in ends)
    count = count_values(first, last, step)
    if not count:
        gatherer.add(
            path,
            "empty-range",
            f"from {first} by {step} up to {last} there is no value; let step be above 0 and last "
            "not be below first.",
        )
        return ()
    if count > MOST_POINTS:
        gatherer.add(path, "too-many-points", _too_many(count, "widen the step."))
        return ()
    return spread(*ends)


def _check_names(names: Iterable[str], member: str, gatherer: FaultGatherer) -> None:
    listed = list(names)
    times = Counter(listed)
    for n, name in enumerate(listed):
        if times[name] > 1 and listed.index(name) != n:
            gatherer.add(
                (member, n, "name"),
                "repeated-name",
                f"{name!r} stands more than once; the table tells rows apart by it.",
            )


def _check_points(scenarios: int, axes: Sequence[Axis], gatherer: FaultGatherer) -> None:
    if not scenarios and not axes:
        gatherer.add((), "nothing-asked", "asks nothing; state scenarios, axes, or both.")
    count = count_points(scenarios, [len(axis.values) for axis in axes])
    if count > MOST_POINTS:
        gatherer.add((), "too-many-points", _too_many(count, "ask for fewer values."))


def _too_many(count: int, remedy: str) -> str:
    return f"{count:,} points are asked for, above the limit of {MOST_POINTS:,}; {remedy}"
