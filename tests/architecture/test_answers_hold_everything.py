"""Every field of a plan and of each reason reaches the answer, so that none is forgotten.

A sample of every type is made of its fields alone. Then one field at a time is changed, however
deep it lies: the answer has to change with it.
"""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

import pytest

from optimiser.domain import buying_reasons, notices, reasons
from optimiser.domain.plan import Plan, PurchaseKind
from optimiser.domain.reasons import Notice, Reason
from optimiser.units.lengths import LengthUnit
from service.mapping.plan_out import write_plan
from service.mapping.shown import ValueWriter
from service.mapping.told_out import TOLD, write_reason

PLAIN = {Decimal: Decimal("7.25"), Fraction: Fraction(3), int: 5, str: "x", bool: False}
NAMED = {
    "currency": "USD",
    "code": "no-kits",
    "cost": Decimal(90),
    "reasons": (),
    "notices": (),
}
"""Fields whose value has to be one of a few; reasons are looked at one by one."""
OTHER = {"USD": "EUR", "no-kits": "loose-packs-only"}

SHOWN_OTHERWISE = (
    # What was decided; purchases, supplies, patterns and reasons state all of it.
    "decision.",
    # The same pool as that of the need beside it.
    "fasteners.0.pool.",
    # What the order states and the takeoff has applied: its pieces show what came of it.
    *(
        f"openings.0.takeoff.opening.{field}"
        for field in (
            "edges",
            "fastener_spacing_nm",
            "finishes.",
            "meeting_stiles",
            "notes.",
            "sash_cords",
            "side_strips",
            "threshold",
        )
    ),
)


def sample(hint: Any) -> Any:
    """Return a value of a type, made of the types of its fields."""
    if hint in PLAIN:
        return PLAIN[hint]
    if get_origin(hint) in (Union, UnionType):
        return sample(next(option for option in get_args(hint) if option is not NoneType))
    if get_origin(hint) is frozenset:
        return frozenset({sample(get_args(hint)[0])})
    if get_origin(hint) is tuple:
        return tuple(sample(part) for part in get_args(hint) if part is not Ellipsis)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return next(iter(hint))
    assert is_dataclass(hint), hint
    hints = get_type_hints(hint)
    return hint(
        **{
            field.name: NAMED[field.name] if field.name in NAMED else sample(hints[field.name])
            for field in fields(hint)
            if field.init
        }
    )


def changes_of(value: Any) -> Iterator[tuple[str, Any]]:
    """Yield the value with one of its fields changed, and the path of that field."""
    if is_dataclass(value):
        for field in fields(value):
            for path, changed in changes_of(getattr(value, field.name)):
                yield f"{field.name}.{path}".rstrip("."), replace(value, **{field.name: changed})
    elif isinstance(value, tuple):
        for position, part in enumerate(value):
            for path, changed in changes_of(part):
                row = (*value[:position], changed, *value[position + 1 :])
                yield f"{position}.{path}".rstrip("."), row
    elif isinstance(value, frozenset):
        yield "", frozenset()
    elif isinstance(value, bool):
        yield "", not value
    elif isinstance(value, Enum):
        members = list(type(value))
        yield "", members[members.index(value) - 1]
    elif isinstance(value, str):
        yield "", OTHER.get(value, f"{value}x")
    elif value is not None:
        yield "", value + 1


def fields_that_do_not_reach(plan: Plan) -> set[str]:
    answer = write_plan(plan)
    return {path for path, changed in changes_of(plan) if write_plan(changed) == answer}


def test_every_field_of_a_plan_reaches_the_answer() -> None:
    plan = sample(Plan)
    lost: list[set[str]] = []
    for kind in PurchaseKind:
        # A line of one kind leaves out what only the others have.
        line = replace(plan.purchases[0], kind=kind)
        lost.append(fields_that_do_not_reach(replace(plan, purchases=(line,))))
    missing = set.intersection(*lost)
    assert {path for path in missing if not path.startswith(SHOWN_OTHERWISE)} == set()


KINDS: list[type[Reason]] = [
    kind
    for module in (reasons, buying_reasons, notices)
    for kind in vars(module).values()
    if isinstance(kind, type)
    and issubclass(kind, Reason)
    and kind.__module__ == module.__name__
    and kind not in {Reason, Notice}
]


def test_every_reason_has_a_place_in_the_contract() -> None:
    assert sorted(kind.code for kind in KINDS) == sorted(TOLD)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.code)
def test_every_field_of_a_reason_reaches_its_facts(kind: type[Reason]) -> None:
    writer = ValueWriter(LengthUnit.INCH, "USD")

    def told(reason: Reason) -> tuple[Any, ...]:
        written = write_reason(reason, writer)
        return written.code, written.marks, written.facts

    reason = sample(kind)
    answer = told(reason)
    assert {path for path, changed in changes_of(reason) if told(changed) == answer} == set()
