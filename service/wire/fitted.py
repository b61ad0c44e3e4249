"""A fit that was worked out: every figure with its formula, its inputs and its source."""

from typing import Annotated

from pydantic import Field

from optimiser.units.lengths import LengthUnit
from service.wire.base import WireModel
from service.wire.plan import Caution
from service.wire.shown import Count, ShownLength, SignedLength


class InputLength(WireModel):
    """A length that went into a calculation."""

    name: str
    length: ShownLength


class InputNumber(WireModel):
    """A number that went into a calculation: a coefficient, a temperature, a share."""

    name: str
    value: Annotated[str, Field(pattern=r"^-?[0-9]+(\.[0-9]+|/[0-9]+)?$", examples=["0.00369"])]
    """Exact: a decimal where it ends, else a fraction."""
    unit: str


class Calculation(WireModel):
    """A length that was worked out, with all that it was worked out from."""

    what: str
    length: SignedLength
    """What holds: the published figure where there is one. Below zero, so much is lacking."""
    formula: str
    lengths: list[InputLength]
    numbers: list[InputNumber]
    source: str
    published_by: str | None
    """Where the maker publishes the figure; null where it was worked out."""
    worked_out: SignedLength | None
    """What the formula gives where a published figure goes before it; else null."""
    sentence: str
    """The same in words."""


class Bit(WireModel):
    """A router bit for the groove."""

    size: ShownLength
    passes: Count
    clearance_each_side: ShownLength
    """What its cut leaves on each side of the rib."""


class Margin(WireModel):
    """What is left of the leaf beside a cut, and whether that is enough."""

    least_thickness: Calculation
    left: Calculation
    enough: bool


class Groove(WireModel):
    """The groove in the hinge stile, in which the rib seats."""

    width: Calculation
    depth: Calculation
    one_pass: Bit | None
    """The narrowest bit that cuts it in one pass and leaves no more than twice the running
    clearance on each side; a published width is cut as it is. Null where no bit does."""
    at_or_under: list[Bit]
    """The bits that go into it, widest first."""
    margin: Margin


class Rabbet(WireModel):
    """The rabbet at strike and head, in which the nested members close flush."""

    width: Calculation
    depth: Calculation
    margin: Margin


class ClearanceCheck(WireModel):
    """Whether a clearance is enough for all that moves into it."""

    what: str
    clearance: ShownLength
    movements: list[Calculation]
    needed: Calculation
    left: SignedLength
    """What is left of the clearance; below zero, what it lacks."""
    enough: bool
    sentence: str


class StepOfWork(WireModel):
    """A step of the work, in its order."""

    statement: str
    source: str


class FitMembersShown(WireModel):
    """The cuts in a leaf, and the clearances."""

    groove: Groove
    rabbet: Rabbet | None
    """Null where the nested members were not measured and the maker states nothing."""
    checks: list[ClearanceCheck]
    """One for each clearance that was asked for."""


class Fit(FitMembersShown):
    """A profile fitted to a leaf."""

    unit: LengthUnit
    steps: list[StepOfWork]
    """The order of work."""
    cautions: list[Caution]
    """Those that hold wherever a leaf is cut."""
