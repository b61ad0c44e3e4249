"""The document of a study: its figures are the study's own, also where there is no plan."""

from dataclasses import replace
from decimal import Decimal
from functools import lru_cache
from pathlib import Path

import pytest

from optimiser.domain.break_even import BreakEven
from optimiser.domain.faults import Fault
from optimiser.domain.publication import Chart, ChartKind, Edition, Language, Paragraph, Publication
from optimiser.domain.study import PointOutcome, Study, StudyRow
from optimiser.publishing.builders import DOCUMENTS_OF_STUDIES
from optimiser.publishing.builders.studies import MOST_BARS, StudyMatter
from optimiser.publishing.forms import FORMS
from optimiser.publishing.forms.html import write_html
from optimiser.publishing.forms.text import write_text
from optimiser.study import PointSolver, find_break_evens, rank_inputs, run_study
from service.studies.numbers import to_input, to_number_axis
from service.studies.points import lay_out
from service.studies.reading import read_study
from tests.pages import faults_of, read_page
from tests.publications import blocks_of, column, table_of

EXAMPLE = Path("openapi/examples/ten-doors-study.json")


@lru_cache(maxsize=1)
def example() -> StudyMatter:
    asked, solver = read_study(EXAMPLE.read_bytes()), PointSolver()
    order = asked.base.order
    study = run_study(order, [one.point for one in lay_out(asked)], solver=solver)
    base = solver.plan(order)
    return StudyMatter(
        study=study,
        reference=order.reference,
        unit=order.unit,
        break_evens=tuple(
            find_break_evens(base, to_number_axis(asked, number), solver)
            for number in asked.break_evens
        ),
        ranking=rank_inputs(base, [to_input(asked, moved) for moved in asked.ranking], solver),
    )


def publish(matter: StudyMatter, edition: Edition | None = None) -> Publication:
    return DOCUMENTS_OF_STUDIES["study"](matter, edition or Edition())


def with_rows(*rows: StudyRow) -> StudyMatter:
    study = Study(base=example().study.base, rows=rows)
    return replace(example(), study=study, break_evens=(), ranking=())


NO_PLAN = StudyRow(
    scenario="no strip",
    outcome=PointOutcome.NO_PLAN,
    faults=(Fault((), "no-supply", "Nothing serves D-01; add a stock length."),),
)


def test_the_table_has_the_costs_of_the_study() -> None:
    study, table = example().study, table_of(publish(example()), "cases")
    assert column(table, "cost") == [row.cost for row in (study.base, *study.rows)]
    assert column(table, "difference")[0] is None
    differences = [row.difference for row in study.rows]
    assert column(table, "difference")[1:] == differences
    assert [row.cost - study.base.cost for row in study.rows if row.cost] == differences  # type: ignore[operator]


def test_changes_are_those_of_the_rows_and_name_no_single_supplier() -> None:
    table = table_of(publish(example()), "changes")
    assert [one.name for one in table.columns] == ["case", "sku", "before", "now"]
    assert column(table, "now") == [
        change.quantity for row in example().study.rows for change in row.changes
    ]


def test_costs_are_drawn_with_the_order_as_it_stands_first() -> None:
    costs = next(c for c in blocks_of(publish(example()), Chart) if c.name == "costs")
    assert costs.kind is ChartKind.BARS
    assert costs.points[0] == ("as it stands", Decimal("459.70"))
    assert len(costs.points) == 1 + len(example().study.rows)


def test_many_cases_stand_in_the_table_alone() -> None:
    row = example().study.rows[0]
    many = publish(with_rows(*(replace(row, scenario=str(n)) for n in range(MOST_BARS + 1))))
    assert not blocks_of(many, Chart)
    assert len(table_of(many, "cases").rows) == MOST_BARS + 2


def test_the_break_even_curve_is_marked_where_the_decision_flips() -> None:
    found = example().break_evens[0]
    curve = next(c for c in blocks_of(publish(example()), Chart) if c.kind is ChartKind.LINE)
    assert curve.points == tuple((value, row.cost) for value, row in found.curve)
    assert curve.marked == ((Decimal("2.40"), "$2.40"),)
    assert "Up to $2.40 one decision, from $2.41 another" in curve.text


@pytest.mark.parametrize(
    ("values", "drawn"), [(("1", "2", "3"), True), (("0.5", "1", "1.5"), False)]
)
def test_numbers_that_are_neither_money_nor_whole_are_not_drawn(
    values: tuple[str, ...], drawn: bool
) -> None:
    row = example().study.base
    curve = tuple((Decimal(value), row) for value in values)
    found = BreakEven(
        axis="allowance",
        low=curve[0][0],
        high=curve[-1][0],
        step=Decimal("0.5"),
        flips=(),
        curve=curve,
        searched_to=curve[1][0],
    )
    written = publish(replace(with_rows(), break_evens=(found,)))
    assert bool(blocks_of(written, Chart)) is drawn
    texts = [block.text for block in blocks_of(written, Paragraph)]
    assert texts[1:] == [
        f"From {values[0]} to {values[1]} it does not.",
        f"Searched up to {values[1]} of {values[2]}.",
    ]


def test_the_ranking_is_in_tornado_order() -> None:
    swings = column(table_of(publish(example()), "ranking"), "swing")
    assert swings == [one.swing for one in example().ranking]
    assert swings == sorted(swings, key=lambda swing: -(swing or 0))  # type: ignore[operator]


def test_a_case_without_a_plan_says_why() -> None:
    written = publish(with_rows(example().study.rows[0], NO_PLAN))
    assert column(table_of(written, "cases"), "cost")[2] == "no plan"
    assert table_of(written, "without-a-plan").rows == (
        ("no strip", "Nothing serves D-01; add a stock length."),
    )
    assert "Cases: 2; with a plan: 1; proved to cost the least: 1." in write_text(written).decode()


@pytest.mark.parametrize("language", list(Language))
def test_every_form_takes_the_document_and_the_page_is_sound(language: Language) -> None:
    written = publish(example(), Edition(language=language))
    for form in FORMS:
        if form.takes(written.kind) and form.installed:
            assert form.write(written)
    assert faults_of(read_page(write_html(written))) == []
