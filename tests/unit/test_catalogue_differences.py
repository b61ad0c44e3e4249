"""What differs between two catalogues: which changes, in which order, in which words."""

import json
from decimal import Decimal
from typing import Any

import jsonschema
import pytest

from service.catalogues import differences, render_differences
from service.catalogues.comparing import state_percent
from service.wire.catalogue import Catalogue
from service.wire.differences import (
    ArticleAdded,
    ArticleRemoved,
    CatalogueDifferences,
    PriceChanged,
    TermChanged,
)
from tests.catalogue_files import EXAMPLES, autumn, spring

STOCK: dict[str, Any] = {
    "sku": "LS-Z-084",
    "product": "interlocking-strip",
    "finish": "zinc",
    "length": "7 ft",
    "price": "11.48",
}
KIT: dict[str, Any] = {
    "sku": "LK-Z",
    "product": "interlocking-strip",
    "finish": "zinc",
    "price": {"base": "42.13", "per_length": {"price": "1.38", "length": "1 ft"}},
}


def offer(
    *stocks: dict[str, Any], kits: list[dict[str, Any]] | None = None, **terms: Any
) -> Catalogue:
    raw = {"supplier": "Larkmoor Strip & Seal", "currency": "USD", **terms}
    return Catalogue.model_validate({**raw, "stock_lengths": [*stocks], "kits": kits or []})


def told(before: Catalogue, after: Catalogue) -> list[str]:
    """Return the lines of the changes, without the heading."""
    lines = render_differences(differences(before, after)).splitlines()
    return [line.strip() for line in lines if line.startswith("  ")]


def test_a_price_change_has_its_amount_and_percentage() -> None:
    after = offer(kits=[{**KIT, "price": {**KIT["price"], "base": "43.00"}}])
    [change] = differences(offer(kits=[KIT]), after).changes
    assert change == PriceChanged(
        kind="price-changed",
        supplier="Larkmoor Strip & Seal",
        sku="LK-Z",
        list="kits",
        described="bare kit, interlocking-strip, zinc",
        member="price.base",
        entry=None,
        before="42.13",
        after="43.00",
        change="0.87",
        percent="2.07",
    )
    assert told(offer(kits=[KIT]), after) == [
        "LK-Z bare kit, base price: 42.13 → 43.00, +0.87 (+2.07 %)"
    ]


def test_the_price_of_an_article_needs_no_further_word() -> None:
    assert told(offer(STOCK), offer({**STOCK, "price": "11.00"})) == [
        "LS-Z-084 stock length: 11.48 → 11.00, −0.48 (−4.18 %)"
    ]


@pytest.mark.parametrize(
    ("before", "after", "percent"),
    [
        ("100", "100.005", "0.00"),
        ("100", "100.015", "0.02"),
        ("100", "99.985", "-0.02"),
        ("100", "99.995", "0.00"),
        ("3", "4", "33.33"),
        ("3", "2", "-33.33"),
        ("0.01", "999999999", "9999999989900.00"),
        ("5", "0", "-100.00"),
        ("0", "5", None),
    ],
)
def test_percentages_are_rounded_half_to_even(before: str, after: str, percent: str | None) -> None:
    assert state_percent(Decimal(before), Decimal(after)) == percent


@pytest.mark.parametrize(
    ("member", "before", "after"),
    [
        ("length", "7 ft", "84 in"),
        ("length", "7 ft", "2133.6 mm"),
        ("length", 84, "84"),
        ("price", "12.4", "12.40"),
        ("unit_weight", "1 lb", "16 oz"),
        ("available", None, None),
    ],
)
def test_another_way_of_writing_is_no_difference(member: str, before: Any, after: Any) -> None:
    found = differences(offer({**STOCK, member: before}), offer({**STOCK, member: after}))
    assert found.changes == []
    assert "Nothing differs." in render_differences(found)


@pytest.mark.parametrize(
    ("member", "before", "after"), [("length", 84, "84 in"), ("unit_weight", "x", "y")]
)
def test_what_cannot_be_compared_differs_as_it_is_written(
    member: str, before: Any, after: Any
) -> None:
    """A bare number is in the unit of an order, which a catalogue leaves open."""
    found = differences(offer({**STOCK, member: before}), offer({**STOCK, member: after}))
    [change] = found.changes
    assert isinstance(change, TermChanged)
    assert (change.member, change.before, change.after) == (member, str(before), after)


def test_the_order_of_the_articles_is_no_difference_and_changes_are_sorted() -> None:
    others = [{**STOCK, "sku": f"LS-{n}"} for n in (10, 9, 2)]
    assert differences(offer(*others), offer(*others[::-1])).changes == []
    dearer = [{**stock, "price": "12"} for stock in others]
    changes = differences(offer(*others), offer(*dearer)).changes
    assert [change.sku for change in changes] == ["LS-2", "LS-9", "LS-10"]


def test_price_breaks_are_told_by_their_quantity() -> None:
    def breaks(*steps: tuple[int, str]) -> Catalogue:
        return offer({**STOCK, "breaks": [{"from_quantity": q, "price": p} for q, p in steps]})

    assert told(
        breaks((12, "10.60"), (18, "10.20"), (24, "9.95")),
        breaks((12, "10.95"), (24, "9.95"), (96, "9")),
    ) == [
        "LS-Z-084 stock length, price from 12 on: 10.60 → 10.95, +0.35 (+3.30 %)",
        "LS-Z-084 stock length, price from 18 on: 10.20, no longer",
        "LS-Z-084 stock length, price from 96 on: new, 9.00",
    ]


def test_a_price_for_another_length_is_not_reckoned_against() -> None:
    price = {"base": "42.13", "per_length": {"price": "4.50", "length": "1 m"}}
    [first, second] = differences(offer(kits=[KIT]), offer(kits=[{**KIT, "price": price}])).changes
    assert isinstance(first, PriceChanged)
    assert (first.member, first.change, first.percent) == ("price.per_length.price", None, None)
    assert second.member == "price.per_length.length"


def test_no_limit_is_not_called_none() -> None:
    assert told(offer({**STOCK, "available": 60}), offer(STOCK)) == [
        "LS-Z-084 stock length, available: 60 → no limit"
    ]


def test_an_article_in_another_list_is_removed_and_added() -> None:
    moved = offer(kits=[{**KIT, "sku": "LS-Z-084"}])
    changes = differences(offer(STOCK), moved).changes
    assert [(type(change), change.list) for change in changes] == [
        (ArticleRemoved, "stock_lengths"),
        (ArticleAdded, "kits"),
    ]


def test_of_two_suppliers_nothing_is_compared() -> None:
    other = offer({**STOCK, "price": "9"}, supplier="Larkmoor Trade Counter", least_order="50")
    found = differences(offer(STOCK), other)
    assert [type(change) for change in found.changes] == [ArticleRemoved, ArticleAdded]
    assert [change.supplier for change in found.changes] == [
        "Larkmoor Strip & Seal",
        "Larkmoor Trade Counter",
    ]
    assert "of two suppliers none is compared" in render_differences(found)


def test_prices_in_two_currencies_differ_without_a_change() -> None:
    found = differences(offer(STOCK), offer(STOCK, currency="EUR"))
    assert [type(change) for change in found.changes] == [TermChanged, PriceChanged]
    price = found.changes[1]
    assert isinstance(price, PriceChanged)
    assert (price.before, price.after, price.change, price.percent) == (
        "11.48", "11.48", None, None,
    )  # fmt: skip
    assert "LS-Z-084 stock length: 11.48 → 11.48" in render_differences(found)


def test_currencies_without_minor_units_have_no_decimals() -> None:
    yen = {**STOCK, "price": "1200"}
    after = offer({**STOCK, "price": "1250"}, currency="JPY")
    assert told(offer(yen, currency="JPY"), after) == [
        "LS-Z-084 stock length: 1200 → 1250, +50 (+4.17 %)"
    ]


def test_the_examples_are_told_as_a_buyer_reads_them() -> None:
    found = differences(spring(), autumn())
    shown = (EXAMPLES / "larkmoor-autumn.difference.txt").read_text(encoding="utf-8")
    assert render_differences(found) == shown
    assert (found.articles_added, found.articles_removed, found.articles_changed) == (1, 1, 7)


def test_the_schema_of_the_answer_holds_the_answer() -> None:
    schema = CatalogueDifferences.model_json_schema(mode="serialization")
    answer = json.loads(differences(spring(), autumn()).model_dump_json())
    validator = jsonschema.Draft202012Validator(schema)
    validator.validate(answer)
    assert schema["$defs"]["CatalogueChange"]["discriminator"]["propertyName"] == "kind"
    answer["changes"][0]["percent"] = "4.1"
    assert not validator.is_valid(answer)
