"""Numbers that a study moves: along an axis to where the decision flips, or down and up."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from optimiser.domain.faults import Fault
from optimiser.study import Input, NumberAxis, Point
from service.studies.pointer import Pointer, PointerError, evaluate, write_tokens
from service.studies.points import LaidOut, put_all, read_point, show_value_of
from service.studies.request import Moved, NumberRange, StudyRequest
from service.wire.scalars import MONEY_PATTERN, is_number

_CENT = Decimal("0.01")
_MONEY = re.compile(MONEY_PATTERN[1:-1])


def to_number_axis(study: StudyRequest, asked: NumberRange) -> NumberAxis:
    """Return the axis that the library searches; a value makes the base with it put in."""

    def make(value: Decimal) -> Point:
        written = write_like(value, asked.money)
        whole = put_all(study.raw, ((pointer, written) for pointer in asked.pointers))
        values = ((asked.name, show_value_of(written)),)
        return read_point(study, Point(name=asked.name, values=values), whole).point

    return NumberAxis(
        name=asked.name,
        low=asked.low,
        high=asked.high,
        step=asked.step,
        make=make,
        samples=asked.samples,
        watched=asked.watched,
        money=asked.money,
    )


def to_input(study: StudyRequest, moved: Moved) -> Input:
    """Return an input with the points where it is lower and higher.

    Where its value cannot be moved both points say why.
    """
    low, base, high = (_move(study, moved, sign) for sign in (-1, 0, 1))
    return Input(
        name=moved.name,
        base_value=base.shown,
        low_value=low.shown,
        high_value=high.shown,
        low=low.laid.point,
        high=high.laid.point,
    )


def write_like(value: Decimal, money: bool) -> Any:
    """Return a value as JSON: money as text, other numbers as numbers."""
    if money:
        return f"{value:f}"
    return int(value) if value == value.to_integral_value() else value


@dataclass(frozen=True, slots=True)
class _Moved:
    laid: LaidOut
    shown: str


def _move(study: StudyRequest, moved: Moved, sign: int) -> _Moved:
    point = Point(name=moved.name)
    values: list[tuple[Pointer, Any]] = []
    for pointer in moved.pointers:
        try:
            values.append((pointer, _step(evaluate(study.raw, pointer), moved.change, sign)))
        except PointerError as error:
            return _Moved(read_point(study, point, Fault(pointer, error.code, str(error))), "")
        except ValueError:
            message = (
                f"{write_tokens(pointer)}: neither a number nor an amount of money stands there; "
                "move one that is, or state its values as an axis."
            )
            return _Moved(read_point(study, point, Fault(pointer, "no-number", message)), "")
    whole = put_all(study.raw, values) if sign else None
    shown = show_value_of(values[0][1])
    return _Moved(read_point(study, point, whole) if sign else LaidOut(point, None), shown)


def _step(value: Any, change: Callable[[Decimal, int], Decimal], sign: int) -> Any:
    """Return a value moved: money to the cent, or as finely as it is stated.

    Raises:
        ValueError: it is neither a number nor an amount.
    """
    if is_number(value):
        return write_like(change(Decimal(value), sign), money=False)
    if not isinstance(value, str) or not _MONEY.fullmatch(value):
        raise ValueError(value)
    stated = Decimal(value)
    finest = min(_CENT, Decimal(1).scaleb(int(stated.as_tuple().exponent)))
    return write_like(change(stated, sign).quantize(finest, ROUND_HALF_UP), money=True)
