"""Reading what a study asks, with every fault at once."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
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
from service.studies.questions import to_questions
from service.studies.request import Moved, NumberRange, Scenario, StudyRequest
from service.wire import limits, studies
from service.wire.order import Order
from service.wire.scalars import MONEY_PATTERN, is_number

_MONEY = re.compile(MONEY_PATTERN[1:-1])
_MIXED = (
    "is neither in numbers alone nor in money alone; send numbers of up to 9 digits and 9 "
    'decimals, or amounts such as "4.00".'
)
_DIGITS = 9

MOST_STEPS = 1_000_000
"""Steps of one axis: in cents, its ends lie up to 10,000.00 apart."""

_NO_ORDER = "order: is missing; send the order, or plan_id of a plan that the service keeps."

_DEFAULTS: tuple[str, ...] = ("policy", "rack")
"""Members of an order that a pointer may lead into though the order does not state them."""


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
    if order is None:
        faults.append(Fault(("order",), "no-order", _NO_ORDER))
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
    break_evens = tuple(
        _to_number(asked, n, gatherer) for n, asked in enumerate(validated.break_evens)
    )
    ranking = tuple(_to_moved(asked, n, gatherer) for n, asked in enumerate(validated.ranking))
    for member, listed in (
        ("scenarios", scenarios),
        ("axes", axes),
        ("break_evens", break_evens),
        ("ranking", ranking),
    ):
        _check_names((one.name for one in listed), member, gatherer)
    questions = () if base is None else to_questions(validated.questions, base, gatherer)
    if not (scenarios or axes or break_evens or ranking or validated.questions):
        members = "scenarios, axes, questions, break_evens or ranking"
        gatherer.add((), "nothing-asked", f"asks nothing; state {members}.")
    _check_points(len(scenarios), axes, gatherer)
    faults += gatherer.faults
    if faults or base is None:
        raise invalid_inputs(faults)
    return StudyRequest(
        raw={name: {} for name in _DEFAULTS} | order,
        base=base,
        scenarios=scenarios,
        axes=axes,
        break_evens=break_evens,
        ranking=ranking,
        questions=questions,
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
    pointers = _to_pointers(axis, ("axes", n), gatherer)
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


def _to_number(asked: studies.NumberAxis, n: int, gatherer: FaultGatherer) -> NumberRange:
    path = ("break_evens", n)
    pointers = _to_pointers(asked, path, gatherer)
    default = "0.01" if isinstance(asked.low, str) else 1
    ends = (asked.low, asked.high, default if asked.step is None else asked.step)
    low = high = step = Decimal(1)
    if not _of_one_kind(ends):
        gatherer.add(path, "mixed-range", _MIXED)
    else:
        low, high, step = (Decimal(end) for end in ends)
        count = count_values(low, high, step)
        if count < 2:
            gatherer.add(
                path,
                "empty-range",
                f"from {low} by {step} up to {high} there is nothing to search; let step be above "
                "0 and high above low.",
            )
        elif count > MOST_STEPS:
            gatherer.add(
                path,
                "too-many-steps",
                f"{count:,} steps lie between its ends, above the limit of {MOST_STEPS:,}; bring "
                "them closer together, or widen the step.",
            )
    return NumberRange(
        name=asked.name or asked.pointer,
        pointers=pointers,
        low=low,
        high=high,
        step=step,
        money=isinstance(asked.low, str),
        samples=asked.samples,
        watched=tuple(asked.watched),
    )


def _to_moved(asked: studies.MovedInput, n: int, gatherer: FaultGatherer) -> Moved:
    path = ("ranking", n)
    step = None if asked.step is None else _to_decimal(asked.step)
    percent = None if asked.percent is None else Decimal(asked.percent)
    if (asked.step is None) == (asked.percent is None):
        gatherer.add(path, "step-or-percent", "needs a step or a percentage; state one of both.")
    elif step is None and percent is None:
        gatherer.add((*path, "step"), "mixed-range", _MIXED)
    elif not (step or percent or 0) > 0:
        gatherer.add(path, "out-of-range", "is not moved; state a step or percentage above 0.")
    return Moved(
        name=asked.name or asked.pointer,
        pointers=_to_pointers(asked, path, gatherer),
        step=step,
        percent=percent,
    )


def _to_pointers(
    asked: studies.Axis | studies.NumberAxis | studies.MovedInput,
    path: tuple[str | int, ...],
    gatherer: FaultGatherer,
) -> tuple[Pointer, ...]:
    return (
        _to_pointer(asked.pointer, (*path, "pointer"), gatherer),
        *(_to_pointer(text, (*path, "also", m), gatherer) for m, text in enumerate(asked.also)),
    )


def _of_one_kind(values: Sequence[int | Decimal | str]) -> bool:
    return all(map(_is_usual, values)) or all(
        isinstance(value, str) and _MONEY.fullmatch(value) for value in values
    )


def _is_usual(value: int | Decimal | str) -> bool:
    """Return whether a value is a number that decimals reckon with exactly."""
    if isinstance(value, str) or not is_number(value):
        return False
    return abs(value) < 10**_DIGITS and int(Decimal(value).as_tuple().exponent) >= -_DIGITS


def _to_decimal(value: int | Decimal | str) -> Decimal | None:
    return Decimal(value) if _of_one_kind([value]) else None


def _to_pointer(text: str, path: tuple[str | int, ...], gatherer: FaultGatherer) -> Pointer:
    try:
        return read_pointer(text)
    except PointerError as error:
        gatherer.add(path, error.code, str(error))
        return ()


def _to_values(stated: studies.AxisRange, n: int, gatherer: FaultGatherer) -> tuple[Any, ...]:
    path = ("axes", n, "range")
    ends = (stated.first, stated.last, stated.step)
    if not _of_one_kind(ends):
        gatherer.add(path, "mixed-range", _MIXED)
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
    count = count_points(scenarios, [len(axis.values) for axis in axes])
    if count > MOST_POINTS:
        gatherer.add((), "too-many-points", _too_many(count, "ask for fewer values."))


def _too_many(count: int, remedy: str) -> str:
    return f"{count:,} points are asked for, above the limit of {MOST_POINTS:,}; {remedy}"
