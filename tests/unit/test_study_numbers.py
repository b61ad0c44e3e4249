"""Numbers that a study moves: read, moved, put in, and told of."""

from decimal import Decimal
from typing import Any

from optimiser.render.break_even_text import write_break_even
from optimiser.study import PointSolver, find_break_evens, rank_inputs
from service.studies.numbers import to_input, to_number_axis
from service.studies.points import lay_out
from tests.unit.test_study_points import PACK_PRICE, faults_of, study

STOCK = "/catalogues/0/stock_lengths/{}/price"


def test_an_axis_makes_orders_with_money_as_text() -> None:
    asked = study(break_evens=[{"name": "pack", "pointer": PACK_PRICE, "low": "1", "high": "9"}])
    axis = to_number_axis(asked, asked.break_evens[0])

    point = axis.make(Decimal("2.40"))

    assert (axis.steps, axis.step) == (800, Decimal("0.01"))
    assert point.order is not None
    assert str(point.order.catalogues[0].fastener_packs[0].price) == "2.40"
    assert point.values == (("pack", "2.40"),)
    assert list(lay_out(asked)) == []


def test_where_the_ten_doors_flip_is_told_in_words() -> None:
    asked = study(
        break_evens=[{"name": "pack", "pointer": PACK_PRICE, "low": "0.50", "high": "5.00"}]
    )
    solver = PointSolver()
    base = solver.plan(asked.base.order)

    found = find_break_evens(base, to_number_axis(asked, asked.break_evens[0]), solver)

    # By hand: 9.60 ÷ 4 packs = 2.40. At 2.41, 16 loose packs cost 16 × 0.01 more than kits.
    assert [*write_break_even(found, "USD")][3:] == [
        "- Up to 2.40 one decision, from 2.41 another; at 2.40 both cost the same: LK-Z 10 → 6,",
        "  LK-Z-N 0 → 4, LN-01 16 → 0. Staying would cost USD 0.16 more at 2.41.",
    ]


def test_an_input_is_moved_by_a_percentage_of_each_of_its_values() -> None:
    asked = study(
        ranking=[
            {
                "name": "bars",
                "pointer": STOCK.format(0),
                "also": [STOCK.format(1)],
                "percent": 10,
            }
        ]
    )

    moved = to_input(asked, asked.ranking[0])

    # 11.48 × 0.9 = 10.332 and 15.85 × 0.9 = 14.265, to the cent, halves up.
    assert (moved.low_value, moved.base_value, moved.high_value) == ("10.33", "11.48", "12.63")
    assert moved.low.order is not None
    prices = [str(s.price) for s in moved.low.order.catalogues[0].stock_lengths]
    assert prices[:2] == ["10.33", "14.27"]


def test_an_input_that_is_no_number_or_leads_nowhere_says_so_and_the_others_are_ranked() -> None:
    asked = study(
        ranking=[
            {"name": "kind", "pointer": "/openings/0/kind", "step": 1},
            {"name": "nowhere", "pointer": "/catalogues/7/currency", "percent": "5"},
            {"name": "doors", "pointer": "/openings/0/quantity", "step": 1},
        ]
    )
    solver = PointSolver()

    ranked = rank_inputs(
        solver.plan(asked.base.order), [to_input(asked, one) for one in asked.ranking], solver
    )

    assert [(one.name, one.swing is None) for one in ranked] == [
        ("doors", False),
        ("kind", True),
        ("nowhere", True),
    ]
    assert [fault.code for one in ranked[1:] for fault in one.low.faults] == [
        "no-number",
        "leads-nowhere",
    ]


def test_what_is_wrong_with_numbers_is_told_together() -> None:
    bad: list[dict[str, Any]] = [
        {"pointer": PACK_PRICE, "low": "1.00", "high": 2},
        {"name": "b", "pointer": PACK_PRICE, "low": 3, "high": 2},
        {"name": "c", "pointer": PACK_PRICE, "low": "0.00", "high": "99999.00"},
    ]
    ranked = [
        {"pointer": PACK_PRICE, "step": 1, "percent": 1},
        {"name": "b", "pointer": PACK_PRICE},
        {"name": "c", "pointer": PACK_PRICE, "step": "0.00"},
    ]

    assert faults_of(break_evens=bad, ranking=ranked) == [
        ("/break_evens/0", "mixed-range"),
        ("/break_evens/1", "empty-range"),
        ("/break_evens/2", "too-many-steps"),
        ("/ranking/0", "step-or-percent"),
        ("/ranking/1", "step-or-percent"),
        ("/ranking/2", "out-of-range"),
    ]
