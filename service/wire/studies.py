"""Studies: one order under many changes, and the table that comes of it."""

from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field, PlainValidator, StringConstraints, WithJsonSchema
from pydantic_core import PydanticCustomError
from typing_extensions import TypeAliasType

from optimiser.domain.study import PointOutcome
from service.wire import limits
from service.wire.answers import ProblemFault
from service.wire.base import WireModel
from service.wire.order_to_plan import Order
from service.wire.plan import Certificate
from service.wire.scalars import MONEY_PATTERN, NO_CONTROL_CHARACTERS, Name, is_number
from service.wire.shown import Amount, Count, ShownLength
from service.wire.stored import Moment

Pointer = TypeAliasType(
    "Pointer",
    Annotated[
        str,
        StringConstraints(pattern=NO_CONTROL_CHARACTERS, max_length=limits.POINTER_CHARACTERS),
        Field(
            description="A JSON Pointer (RFC 6901) into the order. Its last part may name a member "
            "that is not stated; entries of an array must be there.",
            examples=["/policy/fastener_spacing", "/catalogues/0/fastener_packs/0/price"],
        ),
    ],
)


def _check_step(value: object) -> int | Decimal | str:
    if isinstance(value, str):
        return value
    if is_number(value):
        return value  # type: ignore[return-value]
    raise PydanticCustomError(
        "wrong-type", 'is neither a number nor an amount of money; send 4 or "4.00"'
    )


Step = TypeAliasType(
    "Step",
    Annotated[
        int | Decimal | str,
        PlainValidator(_check_step),
        WithJsonSchema(
            {
                "description": "A number, or an amount of money as a decimal text.",
                "examples": ["4.00", 2],
                "anyOf": [{"type": "number"}, {"type": "string", "pattern": MONEY_PATTERN}],
            }
        ),
    ],
)


class AxisRange(WireModel):
    """Values from `first` by `step` up to `last`: all three numbers, or all three money."""

    first: Step
    last: Step
    step: Step


class Axis(WireModel):
    """An input of the order that takes one value after the other: `values`, or a `range`."""

    name: Name | None = None
    """What the table calls it; without a name, the pointer."""
    pointer: Pointer
    """Where the value goes."""
    also: Annotated[list[Pointer], Field(max_length=limits.STUDY_VALUES)] = Field(
        default_factory=list
    )
    """Where the same value goes, too."""
    values: Annotated[list[Any], Field(min_length=1, max_length=limits.STUDY_POINTS)] | None = None
    """The values as the order takes them there."""
    range: AxisRange | None = None


class Scenario(WireModel):
    """The order otherwise: first the patch, then the values."""

    name: Name
    patch: dict[str, Any] = Field(default_factory=dict)
    """A JSON Merge Patch (RFC 7396) on the order: members that it states take the place of the
    order's, null removes one, an array is replaced as a whole."""
    values: Annotated[dict[Pointer, Any], Field(max_length=limits.STUDY_VALUES)] = Field(
        default_factory=dict
    )
    """Values by where they go, also within arrays."""


class StudyQuestions(WireModel):
    """What is asked of one order: every scenario at every point of the grid of the axes.

    Without scenarios the order itself is taken over the grid. There may be 10,000 points.
    """

    scenarios: Annotated[list[Scenario], Field(max_length=limits.STUDY_POINTS)] = Field(
        default_factory=list
    )
    axes: Annotated[list[Axis], Field(max_length=limits.STUDY_AXES)] = Field(default_factory=list)
    time_limit_seconds: Annotated[int, Field(ge=1, le=limits.LONGEST_STUDY_SECONDS)] = (
        limits.STUDY_SECONDS
    )
    """How long all points together may take. What is not solved by then says so. The order's own
    limit holds for each point."""


class StudyToMake(StudyQuestions):
    """What is asked of one order: every scenario at every point of the grid of the axes.

    Without scenarios the order itself is taken over the grid. There may be 10,000 points. Of
    `order` and `plan_id` one is stated.
    """

    order: Order | None = None
    """What is compared with, and what scenarios and axes change."""
    plan_id: str | None = None
    """The plan whose order is taken, one that the service keeps."""


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


class Study(WireModel):
    """The order itself, and a row for each point, in the order in which they were asked for."""

    currency: str
    base: StudyRow
    rows: list[StudyRow]
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
