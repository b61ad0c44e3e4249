"""Nothing that stays inside can be read in what the customer sees."""

import dataclasses
import types
import typing
from enum import Enum
from typing import Any

from optimiser.domain import quote as quote_types
from optimiser.domain.quote import CustomerQuote, InsideQuote
from optimiser.domain.quote_difference import Change, CustomerDifference, InsideDifference
from optimiser.quote import price_plan
from tests.every_term import every_term
from tests.quote_terms import EVERY_TERM

SECRET_WORDS = ("cost", "margin", "mark_up", "added", "addition", "earned", "labour", "minutes",
                "rate", "supplier", "sku", "absorbed", "purchase", "left_out", "plan")  # fmt: skip


def reached(kind: Any) -> set[type]:
    """Return the dataclasses that a value of a type may hold, itself among them."""
    if isinstance(kind, types.GenericAlias | types.UnionType) or typing.get_args(kind):
        return {found for part in typing.get_args(kind) for found in reached(part)}
    if not dataclasses.is_dataclass(kind):
        return set()
    assert isinstance(kind, type)
    hints = typing.get_type_hints(kind)
    return {kind}.union(*(reached(hints[field.name]) for field in dataclasses.fields(kind)))


def values(value: Any) -> list[Any]:
    """Return every value that something holds, down to texts and numbers."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = dataclasses.fields(value)
        return [part for field in fields for part in values(getattr(value, field.name))]
    if isinstance(value, tuple | list | frozenset):
        return [part for item in value for part in values(item)]
    return [value]


def test_the_customers_part_reaches_no_type_of_the_inside() -> None:
    of_customer, of_inside = reached(CustomerQuote), reached(InsideQuote)
    assert of_customer & of_inside == set()
    assert not {kind for kind in of_customer if kind.__name__.startswith("Inside")}
    assert {kind.__name__ for kind in of_customer if kind.__module__ == quote_types.__name__} == {
        "AskedDeposit", "ChargedTax", "CustomerQuote", "GivenDiscount", "QuotedOpening"
    }  # fmt: skip


def test_the_customers_part_of_a_difference_reaches_no_type_of_the_inside() -> None:
    of_customer, of_inside = reached(CustomerDifference), reached(InsideDifference)
    # An amount before and after is neither's own.
    assert of_customer & of_inside == {Change}
    names = {field.name for kind in of_customer for field in dataclasses.fields(kind)}
    parts = {part for name in names for part in (name, *name.split("_"))}
    assert parts & set(SECRET_WORDS) == set()


def test_no_field_of_the_customers_part_has_a_name_of_the_inside() -> None:
    names = {field.name for kind in reached(CustomerQuote) for field in dataclasses.fields(kind)}
    parts = {part for name in names for part in (name, *name.split("_"))}
    assert parts & set(SECRET_WORDS) == set()


def test_no_cost_supplier_or_sku_stands_in_the_customers_values() -> None:
    plan = every_term().plan
    quoted = price_plan(plan, EVERY_TERM)
    seen = values(quoted.customer)
    amounts = {value for value in seen if not isinstance(value, str | Enum)}
    costs = {line.cost for line in quoted.inside.lines}
    costs |= {line.added for line in quoted.inside.lines}
    costs |= {opening.cost for opening in quoted.inside.openings}
    costs |= {quoted.inside.cost, quoted.inside.earned, quoted.inside.earned_percent, plan.total}
    costs |= {line.unit_price for line in plan.purchases} | {line.amount for line in plan.purchases}
    # Freight that is half absorbed costs 10.00 less; so does the discount by chance: not compared.
    by_chance = {given.amount for given in quoted.customer.discounts} | {0}
    assert amounts & (costs - by_chance) == set()
    texts = " ".join(value for value in seen if isinstance(value, str))
    hidden = {line.sku for line in plan.purchases} | {line.supplier for line in plan.purchases}
    assert not {word for word in hidden if word in texts}


def test_the_shops_remarks_on_an_opening_are_not_shown() -> None:
    example = every_term()
    first, *others = example.plan.openings
    remarked = dataclasses.replace(first.takeoff.opening, remarks="they will pay 900", notes=("x",))
    takeoff = dataclasses.replace(first.takeoff, opening=remarked)
    openings = (dataclasses.replace(first, takeoff=takeoff), *others)
    plan = dataclasses.replace(example.plan, openings=openings)
    shown = price_plan(plan, EVERY_TERM).customer.openings[0].opening
    assert (shown.mark, shown.remarks, shown.notes) == ("D-1", "", ())
