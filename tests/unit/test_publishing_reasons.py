"""Why this plan: the proof in plain words, other ways with their extra cost, every reason."""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.plan import AlternativeOutcome
from optimiser.domain.publication import Bullets, CautionBlock, Chart, Edition, Language, Paragraph
from optimiser.publishing.builders import DOCUMENTS_OF_PLANS
from optimiser.publishing.builders.reasons import IN_SHORT
from tests.publications import EXAMPLES, blocks_of, matter_of, publish, table_of
from tests.ten_doors import Example, small, solution_of

EACH = pytest.mark.parametrize("example", EXAMPLES.values(), ids=EXAMPLES.keys())


def first_paragraph(example: Example, language: Language = Language.AMERICAN) -> str:
    publication = publish("why-this-plan", example, Edition(language=language))
    return blocks_of(publication, Paragraph)[0].text


def test_proof_is_told_in_plain_words() -> None:
    assert first_paragraph(EXAMPLES["ten doors"]) == (
        "This plan is proved to be the cheapest. With the same openings, prices and rules, no "
        "other way of buying and cutting costs less."
    )


def test_gap_that_is_left_is_told_in_money_and_per_cent() -> None:
    """644.30 − 640.00 = 4.30; 4.30 ÷ 644.30 = 0.667… %, rounded up so as not to promise less."""
    matter = matter_of(EXAMPLES["ten doors"])
    decided = solution_of(matter.plan.decision, "644.30", lower_bound="640.00")
    plan = replace(matter.plan, certificate=decided.certificate)
    publication = DOCUMENTS_OF_PLANS["why-this-plan"](replace(matter, plan=plan), Edition())
    assert blocks_of(publication, Paragraph)[0].text == (
        "A cheaper plan may exist, but not by much: at most $4.30 could still be saved, 0.67% of "
        "the cost. More time for planning may find it."
    )


@EACH
def test_other_ways_have_the_costs_that_the_plan_states(example: Example) -> None:
    plan = matter_of(example).plan
    table = table_of(publish("why-this-plan", example), "other-ways")
    assert [row[1:3] for row in table.rows] == [(a.cost, a.extra_cost) for a in plan.alternatives]
    for row, alternative in zip(table.rows, plan.alternatives, strict=True):
        if alternative.outcome is AlternativeOutcome.PRICED:
            assert row[1] == plan.total + Decimal(row[2] or 0)  # type: ignore[arg-type]
        else:
            assert row[3]


@EACH
def test_where_the_money_goes_adds_up_to_what_is_paid(example: Example) -> None:
    publication = publish("why-this-plan", example)
    charts = blocks_of(publication, Chart)
    paid = [line.amount for line in example.plan.account if line.paid and line.amount]
    assert [[amount for _, amount in chart.points] for chart in charts] == [paid][: len(paid) > 1]
    assert sum(paid) == example.plan.payable


@EACH
def test_every_reason_is_told_once(example: Example) -> None:
    plan = matter_of(example).plan
    publication = publish("why-this-plan", example)
    told = [item for bullets in blocks_of(publication, Bullets) for item in bullets.items]
    in_full = [reason for reason in plan.reasons if reason.code not in IN_SHORT]
    assert len(told) == len(in_full) + len(plan.notices)
    (cautions,) = blocks_of(publication, CautionBlock)
    assert [source for _, source in cautions.cautions] == [c.source for c in plan.cautions]


def test_currency_is_shown_as_each_language_shows_it() -> None:
    chart = blocks_of(
        publish("why-this-plan", EXAMPLES["every term"], Edition(language=Language.BRITISH)), Chart
    )[0]
    assert chart.text.startswith("Of US$357.56 to pay: Stock lengths US$")


def test_plan_without_alternatives_has_no_table_of_them() -> None:
    example = small()
    matter = replace(matter_of(example), plan=replace(matter_of(example).plan, alternatives=()))
    publication = DOCUMENTS_OF_PLANS["why-this-plan"](matter, Edition())
    assert not list(publication.tables)
