"""What a study answers: rows, flips, what matters most; and studies that are kept."""

from typing import Annotated

from pydantic import Field

from optimiser.domain.study import PointOutcome
from optimiser.domain.study_questions import Question
from service.wire.answers import ProblemFault
from service.wire.base import WireModel
from service.wire.plan import Certificate
from service.wire.shown import Amount, Count, DecimalText, ShownLength
from service.wire.stored import Moment


class AxisValue(WireModel):
    """Where a point lies on an axis."""

    axis: str
    value: str
    """As JSON, texts without their quotes."""


class PurchaseChange(WireModel):
    """A SKU of which another number is bought than in the order's own plan."""

    supplier: str
    sku: str
    base_quantity: Count
    quantity: Count


class StudyRow(WireModel):
    """A point: what came of it, beside the order itself. What a plan says is null without one."""

    scenario: str
    values: list[AxisValue]
    outcome: PointOutcome
    faults: list[ProblemFault]
    """Why there is no plan; pointers lead into the order as the point has it."""
    equal_to: str | None
    """An earlier point that had the same order; nothing was solved anew."""
    cost: Amount | None
    difference: Amount | None
    """Cost less that of the order itself."""
    difference_percent: Annotated[str, Field(pattern=r"^-?[0-9]+(\.[0-9]+)?$")] | None
    """The difference in per cent of the cost of the order itself, to two decimals."""
    changes: list[PurchaseChange]
    """What is bought in other numbers than for the order itself."""
    kits: Count | None
    kits_with_fasteners: Count | None
    spare_fasteners: Count | None
    """Fasteners beyond the need, at the low end of every pack's contents."""
    drop: ShownLength | None
    """The drops of all bars that are cut, together."""
    certificate: Certificate | None
    """How far the cost is proved: the same as a plan's."""


class PriceBreak(WireModel):
    """The first quantity at which an article costs less each than in the order's own plan."""

    point: str
    """The scenario of its row."""
    supplier: str
    sku: str
    base_price: Amount
    price: Amount


class QuestionAnswer(WireModel):
    """What came of a question; its rows stand at the end of the table, by these scenarios."""

    question: Question
    points: list[str]
    cheapest: str | None
    """The scenario of least cost, where that was asked; of equals the first."""
    saving: Amount | None
    """What buying together saves, where that was asked; below zero where it costs more."""
    next_break: PriceBreak | None


class Bought(WireModel):
    """How many are bought of a SKU."""

    supplier: str
    sku: str
    quantity: Count


class Flip(WireModel):
    """Where the decision changes: it stays up to `low`, and at `high`, one step on, it does not."""

    low: DecimalText
    high: DecimalText
    below: list[Bought] | None
    """What is bought up to `low`; null where there is no plan."""
    above: list[Bought] | None
    """What is bought from `high` on."""
    cost_low: Amount | None
    cost_high: Amount | None
    staying: Amount | None
    """What the decision below costs more at `high`; null where it is no plan there."""
    even: bool
    """Whether at `low` both cost the same."""
    proved: bool
    """Whether the cost at `low` is proved to be the least."""


class CurvePoint(WireModel):
    """A value that was solved on the way."""

    value: DecimalText
    outcome: PointOutcome
    cost: Amount | None
    proved: bool


class BreakEven(WireModel):
    """The flips along a number, from its low end, and what was solved on the way."""

    axis: str
    low: DecimalText
    high: DecimalText
    step: DecimalText
    flips: list[Flip]
    curve: list[CurvePoint]
    searched_to: DecimalText
    complete: bool
    """Whether the whole of it was searched; there may be too many flips, or too little time."""
    watched: list[str]


class Influence(WireModel):
    """What moving one input does to the cost."""

    name: str
    base_value: str
    low_value: str
    high_value: str
    low: StudyRow
    high: StudyRow
    swing: Amount | None
    """The highest of the three costs less the lowest; null where one has none."""


class Study(WireModel):
    """The order itself, and a row for each point, in the order in which they were asked for."""

    currency: str
    base: StudyRow
    rows: list[StudyRow]
    answers: list[QuestionAnswer]
    break_evens: list[BreakEven]
    ranking: list[Influence]
    """The widest swing first; those without one last."""
    planned: Count
    """Points with a plan."""
    proved: Count
    """Points whose cost is proved to be the least."""


class StudySummary(WireModel):
    """A study that the service keeps, in short."""

    id: str
    study: str
    """Where the study is."""
    currency: str
    points: Count
    proved: bool
    """Whether the cost of every point is proved to be the least."""
    created_at: Moment


class StudySummaries(WireModel):
    """A page of a list; the header Link leads to the next one."""

    entries: list[StudySummary]
