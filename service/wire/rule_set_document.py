"""A rule set as its author writes it: in a request, or in a file of TOML or JSON.

What the form cannot say is looked at by the reader of the library: blank texts, lengths that
cannot be read, identifiers that stand twice, and values that do not go together.
"""

from typing import Annotated, Any

from pydantic import BeforeValidator, Discriminator, Field, Strict, StringConstraints, Tag
from typing_extensions import TypeAliasType

from optimiser.domain.opening import (
    Edge,
    MeetingStiles,
    OpeningKind,
    SashCords,
    SideStrips,
    Threshold,
)
from optimiser.domain.takeoff import LiesOn
from optimiser.rule_sets.rule_set import CountedPer, LengthTerm, NoticeCode, SpacingSetBy
from service.wire import limits
from service.wire.base import WireModel
from service.wire.scalars import NO_CONTROL_CHARACTERS, Name

Identifier = TypeAliasType(
    "Identifier",
    Annotated[
        str,
        StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9-]{0,63}$"),
        Field(description="Letters, digits and hyphens.", examples=["harbour-row-strip"]),
    ],
)
RuleIdentifier = TypeAliasType(
    "RuleIdentifier",
    Annotated[
        str,
        StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9.-]{0,63}$"),
        Field(
            description="Letters, digits, dots and hyphens; no other rule of any rule set has it.",
            examples=["harbour-row-strip.head"],
        ),
    ],
)
Statement = TypeAliasType(
    "Statement",
    Annotated[
        str,
        StringConstraints(
            pattern=NO_CONTROL_CHARACTERS, min_length=1, max_length=limits.STATEMENT_CHARACTERS
        ),
        Field(description="One line of text; not blank."),
    ],
)
Source = TypeAliasType(
    "Source",
    Annotated[
        str,
        StringConstraints(
            pattern=NO_CONTROL_CHARACTERS, min_length=1, max_length=limits.STATEMENT_CHARACTERS
        ),
        Field(
            description="Where it comes from; the plan cites it. Never left out: that there is "
            "none is said.",
            examples=["common practice, no source"],
        ),
    ],
)
LengthWithUnit = TypeAliasType(
    "LengthWithUnit",
    Annotated[
        str,
        StringConstraints(
            pattern=NO_CONTROL_CHARACTERS, min_length=1, max_length=limits.QUANTITY_CHARACTERS
        ),
        Field(
            description="A length with its unit; a rule set knows no unit of the order.",
            examples=["1 1/2 in", "38 mm"],
        ),
    ],
)


def _list_one(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


class ConditionEntry(WireModel):
    """The options of an opening under which an entry holds: one value, or a list of several."""

    meeting_stiles: Annotated[
        list[Annotated[MeetingStiles, Strict(False)]] | None,
        BeforeValidator(
            _list_one, json_schema_input_type=MeetingStiles | list[MeetingStiles] | None
        ),
    ] = None
    threshold: Annotated[
        list[Annotated[Threshold, Strict(False)]] | None,
        BeforeValidator(_list_one, json_schema_input_type=Threshold | list[Threshold] | None),
    ] = None
    sash_cords: Annotated[
        list[Annotated[SashCords, Strict(False)]] | None,
        BeforeValidator(_list_one, json_schema_input_type=SashCords | list[SashCords] | None),
    ] = None
    side_strips: Annotated[
        list[Annotated[SideStrips, Strict(False)]] | None,
        BeforeValidator(_list_one, json_schema_input_type=SideStrips | list[SideStrips] | None),
    ] = None


Times = Annotated[int, Field(ge=1, le=100)]
SettingsTimes = Annotated[
    dict[Identifier, Times],
    Field(max_length=limits.TERMS_OF_A_LENGTH, examples=[{"end-clearance": 2}]),
]


class LengthEntry(WireModel):
    """A length made of a size, plus and less settings of the rule set, each so many times.

    There are no other terms: a formula is never a text that is worked out.
    """

    of: Annotated[LengthTerm, Strict(False)] | None = None
    """The size; null where the length is made of settings alone, which then exceed 0."""
    plus: SettingsTimes = Field(default_factory=dict)
    less: SettingsTimes = Field(default_factory=dict)


def _form_of_length(value: Any) -> str | None:
    if isinstance(value, str):
        return "size"
    return "formula" if isinstance(value, dict | LengthEntry) else None


LengthOfPieces = TypeAliasType(
    "LengthOfPieces",
    Annotated[
        Annotated[LengthTerm, Strict(False), Tag("size")] | Annotated[LengthEntry, Tag("formula")],
        Discriminator(
            _form_of_length,
            custom_error_type="wrong-type",
            custom_error_message="is not a length of pieces; send a size such as opening-width, "
            "or an object with of, plus and less",
        ),
        Field(description="A size of the opening, or a formula that starts from one."),
    ],
)

Kinds = Annotated[
    list[Annotated[OpeningKind, Strict(False)]],
    Field(min_length=1, max_length=len(OpeningKind), json_schema_extra={"uniqueItems": True}),
]


class SpacingEntry(WireModel):
    """The fastener spacing, centre to centre, where nothing that goes before it states one."""

    length: LengthWithUnit
    set_by: Annotated[SpacingSetBy, Strict(False)] = SpacingSetBy.INSTALLER
    """Where the installer sets the spacing, the opening and the policy go before the rule set."""
    statement: Statement
    source: Source


class SettingEntry(WireModel):
    """A length that formulas name: a lap, a mitre, a notch, a clearance, a spacing.

    `policy.rule_settings` may state another, as `harbour-row-strip.head-allowance`.
    """

    id: Identifier
    length: LengthWithUnit
    statement: Statement
    source: Source


class AssumptionEntry(WireModel):
    """What the rules take for granted."""

    id: Identifier
    statement: Statement
    source: Source


class NoticeEntry(WireModel):
    """When the reader is told that something is not covered."""

    code: Annotated[NoticeCode, Strict(False)]
    kinds: Kinds
    when: ConditionEntry = ConditionEntry()
    statement: Statement
    source: Source


class StepEntry(WireModel):
    """One step of the work on site, in its order."""

    kinds: Kinds = Field(default_factory=lambda: list(OpeningKind))
    """The kinds of opening that it is for; left out, every kind."""
    statement: Statement
    source: Source


class RuleEntry(WireModel):
    """One rule: which pieces an edge of some kinds of opening takes."""

    id: RuleIdentifier
    kinds: Kinds
    edge: Annotated[Edge, Strict(False)]
    """An edge that every one of the kinds has."""
    member: Name
    """What the pieces are called on a label."""
    lies_on: Annotated[LiesOn, Strict(False)]
    length: LengthOfPieces
    """Which length each piece has, net."""
    per: Annotated[CountedPer, Strict(False)] = CountedPer.OPENING
    """What the pieces are counted for: where a run splits."""
    pieces: Annotated[int, Field(ge=1, le=1_000)] = 1
    """How many pieces there are for each."""
    runs: Annotated[int, Field(ge=0, le=1_000)] | None = None
    """The trade's count, in full lengths of the edge, per opening. Null is that of the pieces."""
    product: Name | None = None
    """Null is the rule set's."""
    fastener: Name | None = None
    """Null is the rule set's; `none` where the pieces take none from the order."""
    spacing: Identifier | None = None
    """The setting that is the rule's own spacing. Null leaves it to the rule set's spacing."""
    end_distance: Identifier | None = None
    """The setting that is kept from an end to the first fastener. Null leaves it to the policy."""
    least_fasteners: Annotated[int, Field(ge=2, le=1_000)] = 2
    """The fewest fasteners of a piece, when they are counted per piece."""
    yields_to: Annotated[
        list[Identifier],
        Field(max_length=limits.WORKS_UNDER_ONE_MARK, json_schema_extra={"uniqueItems": True}),
    ] = Field(default_factory=list)
    """The rule gives nothing where the opening also names one of these rule sets."""
    when: ConditionEntry = ConditionEntry()
    """The options of an opening under which the rule holds."""
    statement: Statement
    """What the rule says, as the plan cites it."""
    source: Source


class RuleSetDocument(WireModel):
    """A rule set: which pieces and fasteners the openings need of one product, and why.

    The same in a request, in a JSON file and in a TOML file. The rules that hold for an
    opening's kind, options and edges each give pieces. Every entry states its source.
    """

    id: Identifier
    """What openings name as their `rule_set`; not that of a built-in rule set."""
    title: Statement
    statement: Statement
    source: Source
    product: Name
    """The product that the rules take, as the catalogue writes it."""
    fastener: Name
    """The type of fastener that the pieces take, as the catalogue writes it."""
    spacing: SpacingEntry
    settings: Annotated[list[SettingEntry], Field(max_length=limits.ENTRIES_OF_A_RULE_SET)] = Field(
        default_factory=list
    )
    """Lengths that rules name; each is named by one."""
    assumptions: Annotated[
        list[AssumptionEntry], Field(max_length=limits.ENTRIES_OF_A_RULE_SET)
    ] = Field(default_factory=list)
    notices: Annotated[list[NoticeEntry], Field(max_length=limits.ENTRIES_OF_A_RULE_SET)] = Field(
        default_factory=list
    )
    steps: Annotated[list[StepEntry], Field(max_length=limits.ENTRIES_OF_A_RULE_SET)] = Field(
        default_factory=list
    )
    """The order of work on site."""
    rules: Annotated[list[RuleEntry], Field(min_length=1, max_length=limits.RULES_OF_A_RULE_SET)]


class RuleSetDocuments(WireModel):
    """Rule sets as a file holds them."""

    rule_sets: Annotated[list[RuleSetDocument], Field(max_length=limits.RULE_SETS)]
