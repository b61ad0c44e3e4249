"""Studies: one order under many changes, and the table that comes of it."""

from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field, PlainValidator, StringConstraints, WithJsonSchema
from pydantic_core import PydanticCustomError
from typing_extensions import TypeAliasType

from service.wire import limits
from service.wire.base import WireModel
from service.wire.order_to_plan import Order
from service.wire.scalars import (
    MONEY_PATTERN,
    NO_CONTROL_CHARACTERS,
    Name,
    PercentBelow100,
    Sku,
    is_number,
)
from service.wire.study_questions import StudyQuestion

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


class NumberAxis(WireModel):
    """A number of the order between two ends, searched for the values at which the decision flips.

    The decision is how many are bought of each SKU, or of the `watched` ones alone.
    """

    name: Name | None = None
    pointer: Pointer
    also: Annotated[list[Pointer], Field(max_length=limits.STUDY_VALUES)] = Field(
        default_factory=list
    )
    """Where the same value goes, too."""
    low: Step
    high: Step
    step: Step | None = None
    """How finely; null: to the cent for money, else to 1."""
    samples: Annotated[int, Field(ge=1, le=limits.STUDY_VALUES)] = 8
    """In how many parts the axis is looked at first. Along prices no flip is missed; along other
    numbers one that comes and goes within a part is."""
    watched: Annotated[list[Sku], Field(max_length=limits.STUDY_VALUES)] = Field(
        default_factory=list
    )
    """SKUs whose numbers are the decision; empty: all."""


class MovedInput(WireModel):
    """A number of the order that is moved down and up, by a `step` or by a percentage of itself."""

    name: Name | None = None
    pointer: Pointer
    also: Annotated[list[Pointer], Field(max_length=limits.STUDY_VALUES)] = Field(
        default_factory=list
    )
    """What is moved with it, each from its own value."""
    step: Step | None = None
    percent: PercentBelow100 | None = None
    """Money comes out to the cent, or as finely as it is stated, halves rounded up."""


class StudyQuestions(WireModel):
    """What is asked of one order: every scenario at every point of the grid of the axes.

    Without scenarios the order itself is taken over the grid. There may be 10,000 points.
    """

    scenarios: Annotated[list[Scenario], Field(max_length=limits.STUDY_POINTS)] = Field(
        default_factory=list
    )
    axes: Annotated[list[Axis], Field(max_length=limits.STUDY_AXES)] = Field(default_factory=list)
    questions: Annotated[list[StudyQuestion], Field(max_length=limits.STUDY_QUESTIONS)] = Field(
        default_factory=list
    )
    """Questions that are asked again and again; each makes points of its own."""
    break_evens: Annotated[list[NumberAxis], Field(max_length=limits.STUDY_BREAK_EVENS)] = Field(
        default_factory=list
    )
    """Numbers along which to look for the values at which the decision flips."""
    ranking: Annotated[list[MovedInput], Field(max_length=limits.STUDY_VALUES)] = Field(
        default_factory=list
    )
    """Inputs to rank by how much they move the cost."""
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
    plan_id: Annotated[str, Field(max_length=64, pattern=NO_CONTROL_CHARACTERS)] | None = None
    """The plan whose order is taken, one that the service keeps."""
