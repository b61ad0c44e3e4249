"""From what a study asks to its points: orders, or the faults that kept one from being made."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

from optimiser.domain.faults import Fault
from optimiser.domain.order import Order as DomainOrder
from optimiser.study import Point
from service.json_text import write_json
from service.mapping.reading import read_decoded
from service.problems import Problem
from service.studies.axes import Axis
from service.studies.merge_patch import merge_patch
from service.studies.pointer import Pointer, PointerError, put
from service.studies.request import Scenario, StudyRequest
from service.wire.order import Order

BASE = Scenario(name="base", patch={}, values=())
"""What the grid of axes is drawn for where there are no scenarios."""


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A point, and its order as JSON: faults of the point lead into it. `None` without one."""

    point: Point
    raw: Any


def lay_out(study: StudyRequest) -> Iterator[LaidOut]:
    """Yield every point: scenario by scenario, the last axis running fastest."""
    if not study.points:
        return
    grid = [range(len(axis.values)) for axis in study.axes]
    for scenario in study.scenarios or (BASE,):
        changed = _apply(study.raw, scenario)
        for place in product(*grid):
            values = tuple(
                (axis.name, show_value_of(axis.values[at]))
                for axis, at in zip(study.axes, place, strict=True)
            )
            whole = changed if isinstance(changed, Fault) else _move(changed, study.axes, place)
            yield read_point(study, Point(name=scenario.name, values=values, place=place), whole)


def show_value_of(value: Any) -> str:
    """Return a value of an axis as the table shows it: a text as it is, else JSON."""
    return value if isinstance(value, str) else write_json(value)


def _apply(raw: Any, scenario: Scenario) -> Any:
    return put_all(merge_patch(raw, scenario.patch), scenario.values)


def _move(raw: Any, axes: tuple[Axis, ...], place: tuple[int, ...]) -> Any:
    moves = (
        (pointer, axis.values[at])
        for axis, at in zip(axes, place, strict=True)
        for pointer in axis.pointers
    )
    return put_all(raw, moves)


def put_all(raw: Any, values: Iterable[tuple[Pointer, Any]]) -> Any:
    """Return the order with the values put in, or the fault of the first that leads nowhere."""
    for pointer, value in values:
        try:
            raw = put(raw, pointer, value)
        except PointerError as error:
            return Fault(pointer, error.code, str(error))
    return raw


def read_point(study: StudyRequest, point: Point, whole: Any) -> LaidOut:
    """Return a point with its order, or with the faults that keep it from being made."""
    if isinstance(whole, Fault):
        return LaidOut(point=replace(point, faults=(whole,)), raw=None)
    try:
        read = read_decoded(
            whole, Order, longest_time_limit_seconds=study.longest_time_limit_seconds
        )
    except Problem as problem:
        return LaidOut(point=replace(point, faults=problem.faults), raw=whole)
    order = _share(read.order, study.base.order)
    return LaidOut(point=replace(point, order=order, rule_sets=read.rule_sets), raw=whole)


def _share(order: DomainOrder, base: DomainOrder) -> DomainOrder:
    """Return the order with what equals the base's taken from it: 10,000 points fit in memory."""
    return replace(
        order,
        openings=base.openings if order.openings == base.openings else order.openings,
        catalogues=tuple(
            next((one for one in base.catalogues if one == catalogue), catalogue)
            for catalogue in order.catalogues
        ),
    )
