"""What to measure on site, and what two readings of it say."""

from typing import Annotated

from pydantic import Field
from typing_extensions import TypeAliasType

from optimiser.domain.field import FindingCode
from optimiser.units.lengths import LengthUnit
from service.wire import limits
from service.wire.base import WireModel
from service.wire.fitted import Calculation
from service.wire.order import TakeoffOrder
from service.wire.scalars import LengthOrZero, Name
from service.wire.shown import Count, ShownLength, SignedLength


class ReadingLimits(WireModel):
    """What may differ by how much before anything is cut. Common practice, no source."""

    between_readings: LengthOrZero = "1/16 in"
    """Two readings of one length."""
    between_diagonals: LengthOrZero = "1/8 in"
    """The two diagonals of one reading: beyond it the opening is out of square."""
    between_parallels: LengthOrZero = "1/8 in"
    """Widths at top, middle and bottom, or heights at left, middle and right."""
    from_order: LengthOrZero = "1/8 in"
    """What is measured, and the net size that the order gives."""


class MeasuringOrder(TakeoffOrder):
    """A batch of openings to measure: an order as for a takeoff, and limits."""

    limits: ReadingLimits = ReadingLimits()


Lengths = TypeAliasType(
    "Lengths",
    Annotated[
        dict[Name, LengthOrZero],
        Field(
            max_length=limits.MEASUREMENTS,
            description="Lengths by the ids of the measurement sheet.",
            examples=[{"width-top": "36 1/16 in", "width-middle": "36 in"}],
        ),
    ],
)


class OpeningReadings(WireModel):
    """Two readings of one opening."""

    mark: Name
    number: Annotated[int, Field(ge=1, le=limits.OPENINGS)] = 1
    """Which opening of the mark, counted from 1."""
    first: Lengths
    second: Lengths


class ReadingOrder(MeasuringOrder):
    """Readings of a batch of openings, with the order that they are held against."""

    readings: Annotated[list[OpeningReadings], Field(min_length=1, max_length=limits.READINGS)]


class Measurement(WireModel):
    """One length to take."""

    id: Annotated[str, Field(examples=["width-top"])]
    """Names it in a reading."""
    what: str
    how: str
    expected: Calculation | None
    """The net size that the order gives; null where it says nothing."""


class MeasurementSheet(WireModel):
    """The lengths to take on one mark; each opening of it has its own readings."""

    mark: str
    quantity: Count
    measurements: list[Measurement]


class MeasurementSheets(WireModel):
    """The measurement sheets of a batch of openings."""

    reference: str
    unit: LengthUnit
    sheets: list[MeasurementSheet]
    """In the natural order of their marks."""


class Difference(WireModel):
    """A length in both readings."""

    id: str
    first: ShownLength
    second: ShownLength
    difference: SignedLength
    """Second less first."""


class Finding(WireModel):
    """One thing to settle before anything is cut."""

    code: FindingCode
    reading: Annotated[int, Field(ge=1, le=2)] | None
    """The reading that shows it; null where both are compared."""
    measurements: list[str]
    """The measurement, or the two that are compared."""
    lengths: list[ShownLength]
    """Their lengths; of one measurement those of both readings, or the measured and the
    ordered one."""
    difference: ShownLength
    limit: ShownLength
    sentence: str


class ReadingCheck(WireModel):
    """What two readings of one opening say."""

    mark: str
    number: Count
    may_be_cut: bool
    """Whether nothing was found."""
    differences: list[Difference]
    """Every length that both readings hold."""
    findings: list[Finding]


class MarkLeft(WireModel):
    """Openings of a mark that have no readings yet."""

    mark: str
    openings: Count


class ReadingChecks(WireModel):
    """What the readings of a batch of openings say."""

    reference: str
    unit: LengthUnit
    checks: list[ReadingCheck]
    """By mark and number."""
    not_read: list[MarkLeft]
