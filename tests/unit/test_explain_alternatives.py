"""What the other ways cost, and when the solver is asked at all. Prices are invented."""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.decision import Restriction, Solution
from optimiser.domain.faults import (
    Fault,
    NoPlan,
    NoPlanInTime,
    OptimiserError,
    PlanCheckFailed,
)
from optimiser.domain.order import Policy
from optimiser.domain.plan import Alternative, AlternativeOutcome
from optimiser.explain import price_alternatives
from tests.ten_doors import (
    CATALOGUE,
    SMALL,
    TEN_DOORS,
    Example,
    example_of,
    never_solve,
    small,
    solution_of,
    ten_doors,
)

SAME = AlternativeOutcome.SAME_AS_PLAN
PRICED = AlternativeOutcome.PRICED
NOT_POSSIBLE = AlternativeOutcome.NOT_POSSIBLE


class Solver:
    """Answers every restriction with one cost, or raises; remembers what it was asked."""

    def __init__(self, answer: str | OptimiserError, *, lower_bound: str | None = None) -> None:
        self._answer = answer
        self._lower_bound = lower_bound
        self.asked: list[Restriction] = []

    def __call__(self, restriction: Restriction) -> Solution:
        self.asked.append(restriction)
        if isinstance(self._answer, OptimiserError):
            raise self._answer
        return solution_of(small().solution.decision, self._answer, lower_bound=self._lower_bound)


def alternatives(example: Example, solve: Solver) -> dict[str, Alternative]:
    priced = price_alternatives(example.order, example.takeoff, example.solution, solve)
    return {other.code: other for other in priced}


def test_every_alternative_is_there_in_a_fixed_order() -> None:
    assert list(alternatives(small(), Solver("700.00"))) == [
        "fasteners-with-every-kit",
        "loose-packs-only",
        "no-kits",
        "kits-for-every-opening",
        "each-opening-on-its-own",
    ]


def test_the_solver_is_asked_for_each_way_that_is_open_and_different() -> None:
    # One kit with nails and one bare in the plan, two openings by kit in the second set.
    # No kit is offered in bronze, so a kit for every opening is not asked for.
    solve = Solver("700.00")
    found = alternatives(small(), solve)
    assert solve.asked == [
        Restriction(bare_kits=False, kits_per_set=(0, 2)),
        Restriction(kits_with_fasteners=False),
        Restriction(bare_kits=False, kits_with_fasteners=False),
    ]
    assert found["no-kits"] == Alternative(
        code="no-kits",
        outcome=PRICED,
        cost=Decimal("700.00"),
        extra_cost=Decimal("90.05"),
        proved=True,
    )
    assert found["kits-for-every-opening"] == Alternative(
        code="kits-for-every-opening",
        outcome=NOT_POSSIBLE,
        obstacles=(
            "Opening W-1: interlocking-strip, bronze: cutting is left out, and no kit is offered; "
            "add a kit.",
        ),
    )


def test_an_alternative_with_an_open_gap_is_not_called_proved() -> None:
    found = alternatives(small(), Solver("700.00", lower_bound="690.00"))
    assert found["no-kits"].proved is False


def test_an_alternative_may_beat_a_plan_that_is_not_proved() -> None:
    found = alternatives(small(), Solver("605.00"))
    assert found["loose-packs-only"].extra_cost == Decimal("-4.95")


def test_what_the_plan_does_already_is_not_solved_again() -> None:
    example = ten_doors(with_nails=10)
    solve = Solver("700.00")
    found = alternatives(example, solve)
    assert Restriction(bare_kits=False, kits_per_set=(10,)) not in solve.asked
    assert found["fasteners-with-every-kit"] == Alternative(
        code="fasteners-with-every-kit",
        outcome=SAME,
        cost=Decimal("675.50"),
        extra_cost=Decimal(0),
        proved=True,
    )
    assert found["kits-for-every-opening"].outcome is SAME


def test_with_no_kit_in_the_plan_there_is_none_to_put_fasteners_in() -> None:
    plan = small().solution.decision
    decision = replace(
        plan,
        supplies=plan.supplies[:1],
        patterns=plan.patterns[1:2],
        stock_lengths=plan.stock_lengths[1:2],
    )
    windows = replace(SMALL, openings=SMALL.openings[2:])
    example = example_of(windows, solution_of(decision, "124.60"))
    found = price_alternatives(example.order, example.takeoff, example.solution, never_solve)
    by_code = {other.code: other for other in found}
    assert by_code["fasteners-with-every-kit"] == Alternative(
        code="fasteners-with-every-kit",
        outcome=NOT_POSSIBLE,
        obstacles=("The plan buys no kit.",),
    )
    assert by_code["no-kits"].outcome is SAME
    assert by_code["loose-packs-only"].outcome is SAME


def test_what_is_not_possible_says_why_and_asks_no_solver() -> None:
    example = ten_doors(replace(TEN_DOORS, policy=Policy(allow_cutting=False)))
    solve = Solver("700.00")
    found = alternatives(example, solve)
    assert found["no-kits"].obstacles == (
        "Opening D-1: interlocking-strip, zinc: cutting is not allowed, and kits are left out; "
        "allow cutting (policy.allow_cutting).",
    )
    assert found["each-opening-on-its-own"].obstacles == (
        "Cutting is not allowed; allow cutting (policy.allow_cutting).",
    )
    assert len(solve.asked) == 2


def test_a_refusal_of_the_solver_is_told() -> None:
    fault = Fault(("catalogue",), "not-served", "Nothing serves it.")
    found = alternatives(small(), Solver(NoPlan((fault,))))
    assert found["no-kits"] == Alternative(
        code="no-kits", outcome=NOT_POSSIBLE, obstacles=("Nothing serves it.",)
    )


def test_a_deadline_is_told() -> None:
    found = alternatives(small(), Solver(NoPlanInTime(10.0)))
    assert found["no-kits"] == Alternative(
        code="no-kits", outcome=AlternativeOutcome.NOT_SOLVED_IN_TIME
    )


def test_a_defect_is_not_hidden_as_an_outcome() -> None:
    with pytest.raises(PlanCheckFailed, match="the total"):
        alternatives(small(), Solver(PlanCheckFailed(("the total",))))


class TestEachOpeningOnItsOwn:
    def test_ten_doors_by_hand(self) -> None:
        # Each door: 3 × 80 and 2 × 36 in. From 96 in bars: 80 | 80 | 80 | 36 + 36, 4 × 21.90 =
        # 87.60; from 120 in bars: 80 + 36 | 80 + 36 | 80, 3 × 27.40 = 82.20, so 30 bars, a
        # multiple of 5: 822.00. Nails: 104 each, 2 packs, 20 × 2.25 = 45.00. 867.00 in all.
        found = alternatives(ten_doors(), Solver("700.00"))
        assert found["each-opening-on-its-own"] == Alternative(
            code="each-opening-on-its-own",
            outcome=PRICED,
            cost=Decimal("867.00"),
            extra_cost=Decimal("222.70"),
        )

    def test_kerf_trim_allowance_spares_and_multiples_by_hand(self) -> None:
        # Doors, 120 in bars less 1/2 in: 80 + 36 + 1/8 fits, so 3 bars each, 15, a multiple of
        # 5: 411.00. Windows, 96 in: 40 + 40 + 1/8 and 30 + 30 (a third would need 100 in):
        # 2 bars each, 4 × 31.15 = 124.60. Nails + 5 %: door 104 → 110, 2 packs, 10; window
        # 47 → 50, 1 pack, 2; spares 10, 1 pack: 13 × 2.25 = 29.25. 564.85 in all.
        found = alternatives(small(), Solver("700.00"))
        assert found["each-opening-on-its-own"].cost == Decimal("564.85")

    def test_multiples_are_rounded_up_once_over_the_order(self) -> None:
        # 3 bars a door and 4 doors: 12, in fives 15, not 4 × 5 = 20.
        order = replace(TEN_DOORS, openings=(replace(TEN_DOORS.openings[0], quantity=4),))
        example = example_of(order, ten_doors().solution)
        found = alternatives(replace(example, takeoff=example.takeoff), Solver("700.00"))
        # 15 × 27.40 + 8 × 2.25 = 411.00 + 18.00
        assert found["each-opening-on-its-own"].cost == Decimal("429.00")

    def test_the_pack_that_covers_the_opening_at_least_cost_is_taken(self) -> None:
        ounce = CATALOGUE.fastener_packs[0]
        half_pound = replace(
            ounce,
            sku="LN-8",
            contents=replace(ounce.contents, nominal=8 * ounce.contents.nominal),
            price=Decimal("4.40"),
        )
        catalogue = replace(CATALOGUE, fastener_packs=(ounce, half_pound))
        example = ten_doors(replace(TEN_DOORS, catalogues=(catalogue,)))
        found = alternatives(example, Solver("700.00"))
        # One half-pound pack for 4.40 beats two ounces for 4.50: 822.00 + 44.00.
        assert found["each-opening-on-its-own"].cost == Decimal("866.00")

    def test_a_piece_longer_than_every_bar_makes_it_impossible(self) -> None:
        stock = tuple(
            replace(item, length_nm=item.length_nm // 2) for item in CATALOGUE.stock_lengths
        )
        order = replace(TEN_DOORS, catalogues=(replace(CATALOGUE, stock_lengths=stock),))
        found = alternatives(ten_doors(order), Solver("700.00"))
        assert found["each-opening-on-its-own"].obstacles == (
            "Opening D-1: hinge jamb and strike jamb 80 in (interlocking-strip, zinc) are longer "
            "than the longest stock length, 60 in, and kits are left out; add a longer stock "
            "length.",
        )
