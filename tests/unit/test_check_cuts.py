"""Each rule of the re-proof broken, one at a time, on a good plan made by hand: cuts.

The example is `tests.ten_doors.small`. Its patterns: P1 40 + 30 in from 96 in bronze, four
bars; P2 80 + 36 in from 120 in, six bars; P3 80 in from 96 in, three bars. Kerf 1/8 in
(3,175,000 nm), end trim 1/4 in at each end (12,700,000 nm together).
"""

from dataclasses import replace
from typing import Any

import pytest

from optimiser.check import check_plan
from optimiser.domain.opening import Edge
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from tests.ten_doors import SMALL, ZINC, small

EXAMPLE = small()
ORDER, TAKEOFF, PLAN = EXAMPLE.order, EXAMPLE.takeoff, EXAMPLE.plan
DROP_NM = PLAN.patterns[0].drop_nm


def failures(order: Order = ORDER, plan: Plan = PLAN) -> tuple[str, ...]:
    return check_plan(order, TAKEOFF, plan)


def with_sheet(name: str, /, **changes: Any) -> Plan:
    sheets = tuple(
        replace(sheet, **changes) if sheet.name == name else sheet for sheet in PLAN.patterns
    )
    return replace(PLAN, patterns=sheets)


def with_line(number: int, **changes: Any) -> Plan:
    """Return the plan with one line of the cut list of D-1 changed."""
    first = PLAN.openings[0]
    lines = tuple(
        replace(line, **changes) if place == number else line
        for place, line in enumerate(first.cut_list)
    )
    return replace(PLAN, openings=(replace(first, cut_list=lines), *PLAN.openings[1:]))


def test_the_account_of_a_pattern_is_the_hand_sum() -> None:
    # 96 in − 40 − 30 − 2 × 1/8 − 2 × 1/4 = 25 1/4 in = 641,350,000 nm.
    assert DROP_NM == 641_350_000


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        (
            {"stock_nm": 2_463_800_000},
            (
                "Pattern P1, stock: 2463800000, expected 2438400000.",
                "Pattern P1: pieces, kerf, end trim and drop add up to 2438400000 nm, "
                "expected 2463800000 nm.",
            ),
        ),
        (
            {"end_trim_nm": 0, "drop_nm": DROP_NM + 12_700_000},
            ("Pattern P1, end trim: 0, expected 12700000.",),
        ),
        (
            {"drop_nm": DROP_NM + 1},
            (
                "Pattern P1: pieces, kerf, end trim and drop add up to 2438400001 nm, "
                "expected 2438400000 nm.",
            ),
        ),
        (
            {"kerf_nm": 3_175_000, "drop_nm": DROP_NM + 3_175_000},
            ("Pattern P1, kerf: 3175000 nm, expected 6350000 nm.",),
        ),
        (
            {"kerf_nm": 6_350_000 + DROP_NM + 1, "drop_nm": -1},
            (
                "Pattern P1, drop: -1 nm, expected 0 or more.",
                f"Pattern P1, kerf: {6_350_000 + DROP_NM + 1} nm, expected 3175000 to 6350000 nm.",
            ),
        ),
    ],
)
def test_a_length_account_that_is_off_is_noticed(
    changes: dict[str, int], expected: tuple[str, ...]
) -> None:
    assert failures(plan=with_sheet("P1", **changes)) == expected


def test_a_pattern_that_does_not_fit_is_noticed() -> None:
    # 80 + 36 + 1/8 in need 116 1/8 in; 120 in less two trims of 2 in leave 116 in.
    order = replace(ORDER, policy=replace(ORDER.policy, end_trim_nm=50_800_000))
    assert (
        "Pattern P2: pieces and kerfs take 2949575000 nm, expected 2946400000 nm at most."
    ) in failures(order=order)


def test_a_pattern_that_fits_to_the_nanometre_holds() -> None:
    # 40 + 30 + 1/8 in = 70 1/8 in of usable length: kerf between the pieces, and no drop.
    catalogue = ORDER.catalogue
    exact_nm = 1_781_175_000 + 12_700_000
    stock = tuple(
        replace(item, length_nm=exact_nm) if item.sku == "LS-96-B" else item
        for item in catalogue.stock_lengths
    )
    example = small(
        replace(
            SMALL,
            catalogues=(replace(catalogue, stock_lengths=stock),),
        )
    )
    sheet = example.plan.patterns[0]
    assert (sheet.kerf_nm, sheet.drop_nm) == (3_175_000, 0)
    assert check_plan(example.order, example.takeoff, example.plan) == ()
    too_short = tuple(
        replace(item, length_nm=exact_nm - 1) if item.sku == "LS-96-B" else item
        for item in catalogue.stock_lengths
    )
    order = replace(example.order, catalogues=(replace(catalogue, stock_lengths=too_short),))
    assert (
        "Pattern P1: pieces and kerfs take 1781175000 nm, expected 1781174999 nm at most."
    ) in check_plan(order, example.takeoff, example.plan)


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"sku": "LS-1"}, "Pattern P1: its stock length LS-1 is not in the catalogue."),
        (
            {"material": ZINC},
            "Pattern P1, material: interlocking-strip, zinc, expected interlocking-strip, bronze.",
        ),
        ({"bars": 0}, "Pattern P1, bars: 0, expected 1 or more."),
        (
            {"cuts": ((1_016_000_000, 1), (762_000_000, 0))},
            "Pattern P1: cuts ((1016000000, 1), (762000000, 0)), expected lengths and counts "
            "above 0.",
        ),
        ({"cuts": ()}, "Pattern P1: cuts (), expected lengths and counts above 0."),
        (
            {"cuts": ((1_016_000_000, 1), (1_016_000_000, 1))},
            "Pattern P1: cuts ((1016000000, 1), (1016000000, 1)), expected each length once.",
        ),
        ({"name": "P2"}, "Pattern P2: the name stands 2 times, expected once."),
    ],
)
def test_a_pattern_that_is_no_pattern_is_noticed(changes: dict[str, Any], expected: str) -> None:
    assert expected in failures(plan=with_sheet("P1", **changes))


def test_a_pattern_that_was_not_decided_is_noticed() -> None:
    patterns = (replace(PLAN.decision.patterns[0], bars=5), *PLAN.decision.patterns[1:])
    plan = replace(PLAN, decision=replace(PLAN.decision, patterns=patterns))
    assert failures(plan=plan) == (
        "Pattern ((914400000, 1), (2032000000, 1)) of LS-120-Z: 6 bars shown, expected 5 as "
        "decided.",
    )


def test_a_pattern_of_a_single_bar_holds() -> None:
    # The three bars of P3 shown as two and one.
    sheet = PLAN.patterns[2]
    single = replace(sheet, name="P4", bars=1)
    plan = replace(PLAN, patterns=(*PLAN.patterns[:2], replace(sheet, bars=2), single))
    found = failures(plan=plan)
    assert not [line for line in found if line.startswith("Pattern P4, bars")]


def test_a_piece_cut_once_too_often_is_noticed() -> None:
    patterns = tuple(
        replace(pattern, bars=4) if pattern.sku == "LS-96-Z" else pattern
        for pattern in PLAN.decision.patterns
    )
    plan = with_sheet("P3", bars=4)
    plan = replace(plan, decision=replace(plan.decision, patterns=patterns))
    assert failures(plan=plan) == (
        "Pieces of 2032000000 nm in interlocking-strip, zinc: 10 cut, expected 9.",
        "Pattern P3, pieces of 2032000000 nm: 3 in the cut lists, expected 4.",
        "Purchase LS-96-Z, quantity: 3, expected 4 or more for its cuts.",
    )


def test_a_piece_that_is_not_cut_is_noticed() -> None:
    patterns = tuple(
        replace(pattern, bars=2) if pattern.sku == "LS-96-Z" else pattern
        for pattern in PLAN.decision.patterns
    )
    plan = with_sheet("P3", bars=2)
    plan = replace(plan, decision=replace(plan.decision, patterns=patterns))
    assert failures(plan=plan) == (
        "Pieces of 2032000000 nm in interlocking-strip, zinc: 8 cut, expected 9.",
        "Pattern P3, pieces of 2032000000 nm: 3 in the cut lists, expected 2.",
    )


def test_a_line_missing_from_a_cut_list_is_noticed() -> None:
    first = PLAN.openings[0]
    plan = replace(PLAN, openings=(replace(first, cut_list=first.cut_list[1:]), *PLAN.openings[1:]))
    assert failures(plan=plan) == (
        "Cut list of D-1, hinge-jamb, jamb member on the frame, 2032000000 nm in "
        "interlocking-strip, zinc: 0 pieces, expected 2.",
        "Pattern P2, pieces of 2032000000 nm: 4 in the cut lists, expected 6.",
    )


@pytest.mark.parametrize(
    ("line", "changes", "expected"),
    [
        (
            0,
            {"pieces": 3},
            (
                "Cut list of D-1, hinge-jamb, jamb member on the frame, 2032000000 nm in "
                "interlocking-strip, zinc: 3 pieces, expected 2.",
                "Cut list, D-1 hinge jamb, jamb member: its patterns give 2 pieces, expected 3.",
            ),
        ),
        (
            0,
            {"edge": Edge.HEAD},
            (
                "Cut list of D-1, hinge-jamb, jamb member on the frame, 2032000000 nm in "
                "interlocking-strip, zinc: 0 pieces, expected 2.",
                "Cut list of D-1, head, jamb member on the frame, 2032000000 nm in "
                "interlocking-strip, zinc: 2 pieces, expected 0.",
            ),
        ),
        (
            0,
            {"from_patterns": (("P9", 2),)},
            (
                "Cut list, D-1 hinge jamb, jamb member: pattern P9 does not exist.",
                "Pattern P2, pieces of 2032000000 nm: 4 in the cut lists, expected 6.",
                "Pattern P9, pieces of 2032000000 nm: 2 in the cut lists, expected 0.",
            ),
        ),
        (
            0,
            {"from_patterns": (("P1", 2),)},
            (
                "Cut list, D-1 hinge jamb, jamb member: pattern P1 is of interlocking-strip, "
                "bronze, expected interlocking-strip, zinc.",
                "Pattern P2, pieces of 2032000000 nm: 4 in the cut lists, expected 6.",
                "Pattern P1, pieces of 2032000000 nm: 2 in the cut lists, expected 0.",
            ),
        ),
        (
            0,
            {"from_patterns": (("P2", 2), ("P3", 0))},
            (
                "Cut list, D-1 hinge jamb, jamb member: 0 pieces from pattern P3, expected 1 or "
                "more.",
            ),
        ),
        (
            # The head piece, 36 in, from a pattern that gives none of that length.
            3,
            {"from_patterns": (("P3", 2),)},
            (
                "Pattern P2, pieces of 914400000 nm: 4 in the cut lists, expected 6.",
                "Pattern P3, pieces of 914400000 nm: 2 in the cut lists, expected 0.",
            ),
        ),
    ],
)
def test_a_wrong_line_in_a_cut_list_is_noticed(
    line: int, changes: dict[str, Any], expected: tuple[str, ...]
) -> None:
    assert failures(plan=with_line(line, **changes)) == expected


def test_a_cut_list_wrong_in_every_line_is_noticed() -> None:
    first = PLAN.openings[0]
    for changes in ({"pieces": 3}, {"member": "other member"}):
        lines = tuple(replace(line, **changes) for line in first.cut_list)
        plan = replace(PLAN, openings=(replace(first, cut_list=lines), *PLAN.openings[1:]))
        found = failures(plan=plan)
        assert len([line for line in found if line.startswith("Cut list of D-1, head")]) >= 2
