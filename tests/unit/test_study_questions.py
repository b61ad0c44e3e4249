"""Ready-made questions of ten doors, answered as they are by hand."""

import json
from dataclasses import replace
from decimal import Decimal
from typing import Any

from optimiser.domain.study_questions import Question
from optimiser.render.question_text import write_answers
from optimiser.study import PointSolver, run_study
from optimiser.study.questions import answer, ask_quantity
from service.jobs.outcomes import Studied, StudyJob
from service.jobs.study_work import carry_out_study
from service.studies.reading import read_study
from tests.harbour_row import ten_doors
from tests.harbour_row_terms import with_terms
from tests.unit.test_study_points import faults_of

DOOR = {
    "mark": "D-01",
    "kind": "single-door",
    "size": {"width": 36, "height": 80},
    "quantity": 1,
    "finish": "zinc",
    "fastener_spacing": 3,
}


def answered(*questions: dict[str, Any], **order: Any) -> dict[str, Any]:
    """Return what a study of the ten doors answers to the questions."""
    asked = read_study(
        json.dumps({"order": {**ten_doors(), **order}, "questions": questions}).encode()
    )
    outcome = carry_out_study(StudyJob(study=asked))
    assert isinstance(outcome, Studied), outcome
    found: dict[str, Any] = json.loads(outcome.document)
    return found


def costs(found: dict[str, Any]) -> list[tuple[str, str]]:
    """Return scenario and cost of each row."""
    return [(row["scenario"], row["cost"]) for row in found["rows"]]


def test_each_spacing_of_the_installers() -> None:
    # A door has 312 in: 208, 156, 104 and 52 nails; ten doors 32, 24, 16 and 8 packs of 65.
    # Ten bare kits are 421.30; every four packs come with a kit for 9.60.
    found = answered({"question": "installers-spacing"})

    assert costs(found) == [
        ("every 1 1/2 in", "498.10"),
        ("every 2 in", "478.90"),
        ("every 3 in", "459.70"),
        ("every 6 in", "440.50"),
    ]
    assert found["answers"][0]["cheapest"] == "every 6 in"


def test_fasteners_with_every_kit_with_some_and_with_none() -> None:
    # None: 421.30 and 16 loose packs at 2.85. All, where nothing may be cut: ten for 51.73.
    policy = {"allow_cutting": False}
    found = answered({"question": "fasteners-with-kits"}, policy=policy)

    assert costs(found) == [
        ("fasteners with every kit", "517.30"),
        ("fasteners with some kits", "459.70"),
        ("fasteners with no kit", "466.90"),
    ]
    assert found["answers"][0]["cheapest"] == "fasteners with some kits"


def test_buying_with_the_next_order_saves_the_packs_that_are_not_begun_twice() -> None:
    # At 10 in a door takes 32 nails, and two doors 64: one pack of 65 for both, at 2.85.
    door = {**DOOR, "fastener_spacing": 10}
    found = answered(
        {"question": "now-or-next", "openings": [door]},
        openings=[door],
        policy={"allow_cutting": False},
    )

    assert costs(found) == [
        ("this order alone", "44.98"),
        ("the next order alone", "44.98"),
        ("both together", "87.11"),
    ]
    assert found["answers"][0]["saving"] == "2.85"


def test_another_suppliers_catalogue_and_another_finish() -> None:
    other = json.loads(json.dumps(ten_doors()["catalogues"][0]).replace('"2.85"', '"1.00"'))
    found = answered(
        {"question": "other-catalogue", "offers": [{"name": "counter", "catalogues": [other]}]},
        {"question": "finish", "finishes": ["bronze", "zinc"]},
    )

    # Ten bare kits and 16 packs at 1.00.
    assert costs(found)[0] == ("counter", "437.30")
    assert [row["outcome"] for row in found["rows"]] == ["planned", "no-plan", "planned"]
    assert [one["cheapest"] for one in found["answers"]] == ["counter", "zinc"]


def test_the_next_price_break_is_the_first_quantity_at_which_something_costs_less() -> None:
    base = with_terms(ten_doors(), "breaks")
    base = replace(base, policy=replace(base.policy, alternatives=False, allow_kits=False))
    (opening,) = base.openings
    base = replace(base, openings=(replace(opening, quantity=1),))
    solver = PointSolver()
    planned = solver.plan(base)
    points = ask_quantity(base, "D-01", 12)
    rows = run_study(base, points).rows

    found = answer(Question.QUANTITY, rows, points, base=planned, solver=solver)

    assert found.next_break is not None
    assert found.next_break.price < found.next_break.base_price
    position = [point.name for point in points].index(found.next_break.point)
    for point in points[:position]:
        assert point.order is not None
        before = {line.sku: line.unit_price for line in solver.plan(point.order).plan.purchases}
        own = {line.sku: line.unit_price for line in planned.plan.purchases}
        assert all(price >= own.get(sku, Decimal(0)) for sku, price in before.items())
    assert f"at {found.next_break.point}, " in "\n".join(write_answers([found], "USD"))


def test_what_cannot_be_asked_is_told_together() -> None:
    assert faults_of(
        questions=[
            {"question": "quantity", "mark": "D-99", "up_to": 12},
            {"question": "quantity", "mark": "D-01", "up_to": 10},
            {"question": "installers-spacing", "spacings": ["wide"]},
            {
                "question": "other-catalogue",
                "offers": [{"name": "a", "catalogues": [{"stored": "a"}]}],
            },
        ]
    ) == [
        ("/questions/0/mark", "unknown-mark"),
        ("/questions/1/up_to", "out-of-range"),
        ("/questions/2/spacings/0", "unreadable-length"),
        ("/questions/3/offers/0/catalogues/0/stored", "unknown-stored"),
    ]
