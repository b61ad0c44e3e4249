"""What a fit is worked out from: a profile's section, a leaf, settings, heat and moisture."""

from typing import Annotated

from pydantic import Field, Strict, StringConstraints

from optimiser.fit import Sawn, TemperatureUnit
from optimiser.units.lengths import LengthUnit
from service.wire import limits
from service.wire.base import WireModel
from service.wire.scalars import (
    NO_CONTROL_CHARACTERS,
    Coefficient,
    Degrees,
    Length,
    LengthOrZero,
    Name,
    NumberOrText,
    Percent,
)

Source = Annotated[
    str,
    StringConstraints(
        pattern=NO_CONTROL_CHARACTERS, min_length=1, max_length=limits.REFERENCE_CHARACTERS
    ),
    Field(examples=["data sheet of the profile, page 2"]),
]


USUAL_BITS = ["1/16 in", "3/32 in", "1/8 in", "5/32 in", "3/16 in", "1/4 in", "3/8 in", "1/2 in"]


class PublishedFigures(WireModel):
    """Cuts that the profile's maker publishes. They win over what is worked out."""

    groove_width: Length | None = None
    groove_depth: Length | None = None
    rabbet_width: Length | None = None
    rabbet_depth: Length | None = None
    leaf_thickness: Length | None = None
    """The least thickness of a leaf that the profile is made for."""
    source: Source
    """Where the maker publishes them."""


class Profile(WireModel):
    """The published section of a strip with a flange and a rib."""

    metal: Annotated[Length, Field(examples=["0.032 in"])]
    """The thickness of the metal."""
    flange_width: Annotated[Length, Field(examples=["0.403 in"])]
    height: Annotated[Length, Field(examples=["0.425 in"])]
    """The overall height."""
    rib: Annotated[Length, Field(examples=["0.096 in"])]
    """The thickness of the rib."""
    height_includes_flange: bool = True
    """Whether the height has the flange's metal in it."""
    source: Source
    """Who published the section."""
    published: PublishedFigures | None = None
    """What the maker publishes of the cuts."""


class NestedMembers(WireModel):
    """The space that two nested members take, measured on a pair of them."""

    width: Length
    """Across the leaf's thickness."""
    depth: Length
    """Into the leaf's edge."""


class FitSettings(WireModel):
    """What the user allows for. The defaults are common practice, no source."""

    running_clearance: LengthOrZero = "0.012 in"
    """Left on each side of the rib in its groove."""
    bottom_clearance: LengthOrZero = "1/16 in"
    """Left below the rib."""
    hinge_gap: LengthOrZero = "1/8 in"
    """The gap between leaf and hinge jamb."""
    shoulder: LengthOrZero = "3/8 in"
    """The least wood on each side of a groove and behind a rabbet."""
    rabbet_clearance: LengthOrZero = "1/32 in"
    """Added to the measured space of the nested members."""
    bits: Annotated[
        list[Length], Field(max_length=limits.BITS, json_schema_extra={"default": USUAL_BITS})
    ] = Field(default_factory=lambda: list[NumberOrText](USUAL_BITS))
    """The router bits that are to be had."""


class OwnCoefficient(WireModel):
    """A coefficient of your own, which goes before that of the service."""

    value: Coefficient
    source: Source


class StripInHeat(WireModel):
    """The strip over a range of temperature, held against the clearance at its ends."""

    metal: Annotated[Name, Field(examples=["zinc"])]
    """A metal that the service knows: zinc, brass, bronze or aluminium; with a coefficient of
    your own, any name."""
    coefficient: OwnCoefficient | None = None
    """Linear expansion in millionths of the length for each degree of `degrees`."""
    coldest: Degrees
    warmest: Degrees
    degrees: Annotated[TemperatureUnit, Strict(False)]
    """The unit of the temperatures."""
    length: Length | None = None
    """The length of the strip. Null takes the longest piece of the opening; a fit that is worked
    out without an opening needs it."""
    end_clearance: LengthOrZero
    """The clearance that is asked for, at both ends together."""


class LeafInMoisture(WireModel):
    """The leaf over a range of moisture, held against the gaps that it grows into."""

    wood: Annotated[Name, Field(examples=["red-oak"])]
    """A wood that the service knows; with a coefficient of your own, any name."""
    coefficient: OwnCoefficient | None = None
    """Parts of the width for each per cent of moisture, as sawn."""
    sawn: Annotated[Sawn, Strict(False)] = Sawn.FLAT
    board_width: Length
    """The width of each board: of a framed leaf, that of a stile."""
    boards: Annotated[int, Field(ge=1, le=limits.BOARDS)] = 2
    """Boards side by side across the leaf: of a framed leaf its two stiles, since its rails and
    panels give it no width."""
    driest: Percent
    wettest: Percent
    strike_gap: LengthOrZero
    """The gap that is asked for at the strike: the leaf is held at its hinges."""
    height: Length | None = None
    """The height of the leaf, along the grain; of use with `head_gap`. Null takes the net height
    of the opening's leaf, where there is an opening with one."""
    head_gap: LengthOrZero | None = None
    """The gap that is asked for at the head."""


class FitMembers(WireModel):
    """What every fit is worked out from."""

    profile: Profile
    leaf_thickness: Annotated[Length, Field(examples=["1 3/4 in"])]
    settings: FitSettings = FitSettings()
    nested: NestedMembers | None = None
    """Null leaves the rabbet to what the maker publishes."""
    heat: StripInHeat | None = None
    moisture: LeafInMoisture | None = None


class FitInputs(FitMembers):
    """A profile and a leaf, to be fitted to each other."""

    unit: Annotated[LengthUnit, Strict(False)] = LengthUnit.INCH
    """The unit of bare numbers, and of the answer's text."""


class OpeningFit(FitMembers):
    """A profile and the leaves of some openings of the order."""

    marks: Annotated[
        list[Name], Field(min_length=1, max_length=limits.OPENINGS, examples=[["D-01"]])
    ]
    """The marks whose leaves take the profile."""
