"""Differences of any two catalogues: nothing is lost, nothing is made up."""

import copy
from collections.abc import Iterator
from decimal import Decimal
from enum import Enum
from typing import Any

from hypothesis import HealthCheck, given, settings

from service.catalogues import differences, render_differences
from service.wire.catalogue import Catalogue
from service.wire.differences import PriceChanged, TermChanged
from tests.catalogue_files import spring
from tests.property.catalogue_strategies import catalogues

some = settings(
    max_examples=40,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@some
@given(catalogues(readable=False))
def test_nothing_differs_between_a_catalogue_and_itself(catalogue: Catalogue) -> None:
    again = Catalogue.model_validate(copy.deepcopy(catalogue.model_dump()))
    assert differences(catalogue, again).changes == []


@some
@given(catalogues(readable=True), catalogues(readable=True))
def test_back_and_forth_are_each_other_s_reverse(one: Catalogue, other: Catalogue) -> None:
    other = other.model_copy(update={"supplier": one.supplier, "currency": one.currency})
    there, back = differences(one, other), differences(other, one)
    assert (there.articles_added, there.articles_removed) == (
        back.articles_removed,
        back.articles_added,
    )
    assert there.articles_changed == back.articles_changed
    assert len(there.changes) == len(back.changes)
    turned = {
        (change.list, change.sku, change.member, change.entry, change.after, change.before)
        for change in back.changes
        if isinstance(change, PriceChanged | TermChanged)
    }
    for change in there.changes:
        if isinstance(change, PriceChanged) and change.before and change.after:
            assert change.change is not None
            assert Decimal(change.after) - Decimal(change.before) == Decimal(change.change)
        if isinstance(change, PriceChanged | TermChanged) and not (
            change.before and change.after and change.entry
        ):
            key = (
                change.list, change.sku, change.member, change.entry, change.before, change.after,
            )  # fmt: skip
            assert key in turned
    assert render_differences(there).endswith("\n")


def leaves(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Yield the path of every value of a catalogue that holds no other."""
    if isinstance(value, dict):
        for name, part in value.items():
            yield from leaves(part, (*path, name))
    elif isinstance(value, list):
        for position, part in enumerate(value):
            yield from leaves(part, (*path, position))
    elif value is not None:
        yield path


OTHER = {"all-units": "incremental", "incremental": "all-units", "up": "down", "USD": "EUR"}


def other(name: str | int, value: Any) -> Any:
    """Return another value that the wire takes in the same place."""
    if isinstance(value, Enum | str) and str(value) in OTHER:
        return OTHER[str(value)]
    if isinstance(value, int):
        return value + 1
    if name in ("length", "spacing", "longest_piece", "longer_than"):
        return "5 ft"
    if name in ("weight", "unit_weight", "pack_weight", "from_weight"):
        return "5 oz"
    try:
        return str(Decimal(value) + 1)
    except ArithmeticError:
        return f"{value}x"


def test_every_value_of_a_catalogue_is_compared() -> None:
    """Change one value after the other: each shows, and shows where it stands."""
    raw = spring().model_dump(mode="json")
    for path in leaves(raw):
        if path[0] in ("supplier",) or path == ("freight", "basis"):
            continue
        changed = copy.deepcopy(raw)
        holder: Any = changed
        for part in path[:-1]:
            holder = holder[part]
        holder[path[-1]] = other(path[-1], holder[path[-1]])
        found = differences(spring(), Catalogue.model_validate(changed))
        assert found.changes, path
        if path[-1] in ("sku", "currency"):
            continue
        for change in found.changes:
            assert isinstance(change, PriceChanged | TermChanged), path
            names = [part for part in path if isinstance(part, str)]
            members = names if change.sku is None else names[1:]
            assert change.member.split(".")[:-1] == members[:-1], path
