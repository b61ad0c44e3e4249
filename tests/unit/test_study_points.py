"""What a study asks, the points that it makes, and what is wrong with either, told together."""

import json
from typing import Any

import pytest

from service.problems import Problem, write_pointer
from service.studies.axes import spread
from service.studies.points import lay_out
from service.studies.reading import StudyRequest, read_study
from tests.harbour_row import ten_doors

PACK_PRICE = "/catalogues/0/fastener_packs/0/price"


def study(**members: Any) -> StudyRequest:
    """Return what is asked of the ten doors."""
    return read_study(json.dumps({"order": ten_doors(), **members}).encode())


def faults_of(**members: Any) -> list[tuple[str, str]]:
    """Return pointer and code of each fault of a study of the ten doors."""
    with pytest.raises(Problem) as refused:
        study(**members)
    return [(write_pointer(fault.path), fault.code) for fault in refused.value.faults]


def test_money_is_spread_as_text_with_the_decimals_of_the_finest() -> None:
    assert spread("4.00", "4.10", "0.05") == ("4.00", "4.05", "4.10")
    assert spread("1", "2", "0.5") == ("1.0", "1.5", "2.0")


def test_numbers_are_spread_as_numbers_and_end_where_the_next_would_be_above() -> None:
    assert spread(1, 10, 4) == (1, 5, 9)


def test_every_scenario_is_taken_at_every_point_of_the_grid_the_last_axis_fastest() -> None:
    asked = study(
        scenarios=[{"name": "a"}, {"name": "b", "patch": {"policy": {"allow_kits": False}}}],
        axes=[
            {"name": "spacing", "pointer": "/openings/0/fastener_spacing", "values": [3, "2 in"]},
            {"pointer": PACK_PRICE, "values": ["2.85", "3.00"]},
        ],
    )

    laid = list(lay_out(asked))

    assert asked.points == len(laid) == 8
    assert [(one.point.name, one.point.values) for one in laid[3:6]] == [
        ("a", (("spacing", "2 in"), (PACK_PRICE, "3.00"))),
        ("b", (("spacing", "3"), (PACK_PRICE, "2.85"))),
        ("b", (("spacing", "3"), (PACK_PRICE, "3.00"))),
    ]
    assert [one.point.place for one in laid[:4]] == [(0, 0), (0, 1), (1, 0), (1, 1)]
    order = laid[7].point.order
    assert order is not None
    assert not order.policy.allow_kits
    assert order.openings[0].fastener_spacing_nm == 50_800_000
    assert str(order.catalogues[0].fastener_packs[0].price) == "3.00"


def test_points_share_with_the_base_what_they_do_not_change() -> None:
    asked = study(axes=[{"pointer": PACK_PRICE, "values": ["2.85", "3.00"]}])

    same, other = (one.point.order for one in lay_out(asked))

    base = asked.base.order
    assert same is not None
    assert other is not None
    assert same.openings is other.openings is base.openings
    assert same.catalogues[0] is base.catalogues[0]
    assert other.catalogues[0] is not base.catalogues[0]


def test_without_scenarios_the_order_itself_is_taken_over_the_grid() -> None:
    laid = list(lay_out(study(axes=[{"pointer": PACK_PRICE, "values": ["2.85"]}])))

    assert [one.point.name for one in laid] == ["base"]


def test_one_axis_may_lead_to_several_places() -> None:
    asked = study(
        axes=[
            {
                "name": "stock",
                "pointer": "/catalogues/0/stock_lengths/0/price",
                "also": ["/catalogues/0/stock_lengths/1/price"],
                "values": ["9.00"],
            }
        ]
    )

    (point,) = lay_out(asked)

    assert point.point.order is not None
    stock = point.point.order.catalogues[0].stock_lengths
    assert [str(item.price) for item in stock[:2]] == ["9.00", "9.00"]


def test_a_pointer_may_lead_into_a_policy_that_the_order_does_not_state() -> None:
    order = ten_doors()
    del order["policy"]
    asked = read_study(
        json.dumps(
            {"order": order, "axes": [{"pointer": "/policy/kerf", "values": ["1/8 in"]}]}
        ).encode()
    )

    (point,) = lay_out(asked)

    assert point.point.order is not None
    assert point.point.order.policy.kerf_nm == 3_175_000


def test_a_point_that_cannot_be_made_says_why_and_the_others_are_made() -> None:
    asked = study(
        scenarios=[
            {"name": "nowhere", "values": {"/catalogues/3/supplier": "Larkmoor"}},
            {"name": "typing error", "patch": {"policy": {"allow_kit": False}}},
            {"name": "sound"},
        ]
    )

    nowhere, typing_error, sound = lay_out(asked)

    assert [(f.path, f.code) for f in nowhere.point.faults] == [
        (("catalogues", "3", "supplier"), "leads-nowhere")
    ]
    assert [(f.path, f.code) for f in typing_error.point.faults] == [
        (("policy", "allow_kit"), "unknown-member")
    ]
    assert sound.point.order == asked.base.order


def test_every_fault_of_a_study_is_told_at_once() -> None:
    order = ten_doors()
    order["openings"][0]["quantity"] = 0
    found = faults_of(
        order=order,
        scenarios=[{"name": "a", "values": {"policy": 1}}, {"name": "a"}],
        axes=[
            {"pointer": "/a~2", "values": [1], "also": ["b"]},
            {"pointer": "/policy/kerf"},
            {"pointer": "/policy/kerf", "range": {"first": 1, "last": "2.00", "step": 1}},
            {"name": "x", "pointer": "/reference", "range": {"first": 3, "last": 2, "step": 1}},
        ],
    )

    assert found == [
        ("/order/openings/0/quantity", "out-of-range"),
        ("/scenarios/0/values/policy", "no-pointer"),
        ("/axes/0/pointer", "no-pointer"),
        ("/axes/0/also/0", "no-pointer"),
        ("/axes/1", "values-or-range"),
        ("/axes/2/range", "mixed-range"),
        ("/axes/3/range", "empty-range"),
        ("/scenarios/1/name", "repeated-name"),
        ("/axes/2/name", "repeated-name"),
    ]


def test_a_study_that_asks_nothing_or_too_much_is_refused() -> None:
    assert faults_of() == [("", "nothing-asked")]
    prices = {"pointer": PACK_PRICE, "range": {"first": "0.01", "last": "1.01", "step": "0.01"}}
    spacings = {"pointer": "/policy/kerf", "range": {"first": 0, "last": 99, "step": 1}}
    assert faults_of(axes=[prices, spacings]) == [("", "too-many-points")]
    wide = {"pointer": PACK_PRICE, "range": {"first": "0.00", "last": "999.00", "step": "0.01"}}
    assert faults_of(axes=[wide]) == [("/axes/0/range", "too-many-points")]


def test_a_study_without_an_order_or_that_is_no_object_is_refused() -> None:
    with pytest.raises(Problem) as refused:
        read_study(b'{"scenarios": [{"name": "a"}]}')
    assert [fault.code for fault in refused.value.faults] == ["no-order"]
    with pytest.raises(Problem) as refused:
        read_study(b"[]")
    assert [fault.code for fault in refused.value.faults] == ["wrong-type"]
