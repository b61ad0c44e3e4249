"""The order: what `POST /v1/plans` and `POST /v1/takeoffs` take."""

from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field, PlainValidator, Strict, StringConstraints, WithJsonSchema
from pydantic_core import PydanticCustomError
from typing_extensions import TypeAliasType

from optimiser.domain.order import FastenerCounting
from optimiser.units.lengths import LengthUnit
from service.wire import limits
from service.wire.base import WireModel
from service.wire.catalogue import Catalogue
from service.wire.concessions import KeepDrops, Splices, Substitutions
from service.wire.opening import Opening
from service.wire.rack import Rack
from service.wire.rule_set_document import RuleSetDocument
from service.wire.scalars import (
    NO_CONTROL_CHARACTERS,
    CurrencyCode,
    Length,
    LengthOrZero,
    Money,
    Name,
    Percent,
    is_number,
)

_SHORTEST = Decimal(str(limits.SHORTEST_TIME_LIMIT_SECONDS))
_LONGEST = limits.LONGEST_TIME_LIMIT_SECONDS


def _check_time_limit(value: Any) -> int | Decimal:
    if not is_number(value):
        raise PydanticCustomError("wrong-type", "is not a number; send the seconds as a number")
    if not _SHORTEST <= value <= _LONGEST:
        raise PydanticCustomError(
            "out-of-range",
            "is out of range; send {least} to {most} seconds",
            {"least": str(_SHORTEST), "most": _LONGEST},
        )
    return value  # type: ignore[no-any-return]


TimeLimit = TypeAliasType(
    "TimeLimit",
    Annotated[
        int | Decimal,
        PlainValidator(_check_time_limit),
        WithJsonSchema(
            {
                "type": "number",
                "minimum": limits.SHORTEST_TIME_LIMIT_SECONDS,
                "maximum": limits.LONGEST_TIME_LIMIT_SECONDS,
                "description": "Seconds; the service may be set to allow less than the maximum.",
            }
        ),
    ],
)


class Clearances(WireModel):
    """What lies between one size of an opening and another. What is not stated is 0."""

    jamb: LengthOrZero = 0
    """The gap between leaf and frame at each jamb."""
    head: LengthOrZero = 0
    sill: LengthOrZero = 0
    meeting: LengthOrZero = 0
    """The gap between two leaves where they meet."""
    nominal_width: LengthOrZero = 0
    """How much narrower than its nominal width a leaf is."""
    nominal_height: LengthOrZero = 0
    rough_width: LengthOrZero | None = None
    """How much wider the rough opening is than the frame's opening. Null states nothing, and
    sizes of a rough opening are refused."""
    rough_height: LengthOrZero | None = None


class Policy(WireModel):
    """How the order is counted, cut and bought. Every member has a default."""

    kerf: LengthOrZero = 0
    """What the saw takes at each cut."""
    end_trim: LengthOrZero = 0
    """What is taken off each end of a stock length before use."""
    fastener_counting: Annotated[FastenerCounting, Strict(False)] = FastenerCounting.RUNNING_LENGTH
    """The rule by which fasteners are bought; the plan shows the counts by both rules."""
    end_distance: LengthOrZero = "1 in"
    """The distance from a piece's end to its first fastener, when counted per piece."""
    fastener_spacing: Length | None = None
    """The installer's spacing for openings that state none. Null leaves it to the rule set."""
    fastener_allowance_percent: Percent = "0"
    """Fasteners bought beyond the count for loss and damage, per cent of the count."""
    spare_fasteners: Annotated[int, Field(ge=0, le=limits.SPARE_FASTENERS)] = 0
    """Fasteners of each type bought beyond count and allowance."""
    fasteners_match_finish: bool = False
    """Whether fasteners must have the finish of the strip."""
    clearances: Clearances = Clearances()
    """What turns the stated sizes into those of leaf and opening."""
    rule_settings: Annotated[
        dict[Name, LengthOrZero],
        Field(max_length=limits.RULE_SETTINGS, examples=[{"threshold.jamb-notch": "1 in"}]),
    ] = Field(default_factory=dict)
    """Settings of rule sets that go before the rule sets' own, as `threshold.jamb-notch`."""
    allow_kits: bool = True
    """Whether openings may be supplied as kits."""
    allow_cutting: bool = True
    """Whether openings may be cut from stock lengths."""
    cut_charge: Money = "0"
    """What cutting a piece at the bench is counted at, for each piece or segment that is cut, in
    the currency of the catalogues; it is weighed, not paid to a supplier."""
    keep_drops: KeepDrops | None = None
    """Drops worth keeping for the rack, credited in the plan's cost. Null credits none."""
    splices: Splices = Field(default_factory=list)
    """Where pieces may be made of two segments, one rule for each product. Empty allows none."""
    substitutions: Substitutions = Field(default_factory=list)
    """What may stand in for what openings ask for. Empty allows nothing."""
    alternatives: bool = True
    """Whether the plan also prices what else could have been done."""
    time_limit_seconds: TimeLimit = 10
    """How long the solver may take, alternatives included."""


Reference = TypeAliasType(
    "Reference",
    Annotated[
        str,
        StringConstraints(pattern=NO_CONTROL_CHARACTERS, max_length=limits.REFERENCE_CHARACTERS),
        Field(
            description="Your own reference, handed through to the plan.",
            examples=["Harbour Row hotel, first floor"],
        ),
    ],
)


class Order(WireModel):
    """A batch of openings, the catalogues to buy from, and the policy.

    The quantities of all openings may add up to 50,000, and the pieces may have 5,000 distinct
    lengths.
    """

    reference: Reference = ""
    unit: Annotated[LengthUnit, Strict(False)] = LengthUnit.INCH
    """The unit of bare numbers, and of the plan's text."""
    currency: CurrencyCode | None = None
    """The currency that you expect: an order with a catalogue in another one is refused."""
    openings: Annotated[list[Opening], Field(min_length=1, max_length=limits.OPENINGS)]
    """The schedule."""
    rule_sets: Annotated[
        list[RuleSetDocument],
        Field(max_length=limits.RULE_SETS, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)
    """Rule sets of your own, which openings name as they name the built-in ones."""
    catalogues: Annotated[list[Catalogue], Field(min_length=1, max_length=limits.SUPPLIERS)]
    """What may be bought: one catalogue for each supplier, all in one currency. The plan buys
    from one or from several of them, whichever costs less with freight."""
    rack: Rack = Rack()
    """What is on hand."""
    policy: Policy = Policy()
    """How the order is counted, cut and bought."""


class TakeoffOrder(WireModel):
    """A batch of openings to take off: an order whose catalogues may be left out."""

    reference: Reference = ""
    unit: Annotated[LengthUnit, Strict(False)] = LengthUnit.INCH
    """The unit of bare numbers, and of the takeoff's text."""
    currency: CurrencyCode | None = None
    """As in an order; of use only beside a catalogue."""
    openings: Annotated[list[Opening], Field(min_length=1, max_length=limits.OPENINGS)]
    """The schedule."""
    rule_sets: Annotated[
        list[RuleSetDocument],
        Field(max_length=limits.RULE_SETS, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)
    """Rule sets of your own, which openings name as they name the built-in ones."""
    catalogues: Annotated[
        list[Catalogue],
        Field(max_length=limits.SUPPLIERS, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)
    """Read and checked where they are given, and otherwise not used."""
    rack: Rack = Rack()
    """As in an order; not used."""
    policy: Policy = Policy()
    """Of the policy, a takeoff uses what concerns the counting of fasteners."""
