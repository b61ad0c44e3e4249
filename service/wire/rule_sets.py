"""Rule sets: the takeoff's rules as data."""

from typing import Annotated

from pydantic import Strict

from optimiser.domain.opening import (
    Edge,
    MeetingStiles,
    OpeningKind,
    SashCords,
    SideStrips,
    Threshold,
)
from optimiser.domain.takeoff import LiesOn
from optimiser.rule_sets.rule_set import CountedPer, LengthTerm, SpacingSetBy
from service.wire.base import WireModel
from service.wire.shown import Count, ShownLength


class RuleSetSummary(WireModel):
    """A rule set in short."""

    id: str
    """What an opening names as its `rule_set`."""
    title: str
    statement: str
    kinds: list[OpeningKind]
    """The kinds of opening that have rules."""


class RuleSets(WireModel):
    """The rule sets that there are."""

    rule_sets: list[RuleSetSummary]


class Spacing(WireModel):
    """The fastener spacing, centre to centre, where nothing that goes before it states one."""

    length: ShownLength
    set_by: SpacingSetBy
    """Where the installer sets the spacing, the policy goes before the rule set."""
    statement: str
    source: str


class Setting(WireModel):
    """A length that the formulas of the rules name; `policy.rule_settings` may change it."""

    id: str
    length: ShownLength
    statement: str
    source: str


class Assumption(WireModel):
    """What the rules take for granted."""

    id: str
    statement: str
    source: str


class Condition(WireModel):
    """The options of an opening under which an entry holds; null holds under any."""

    meeting_stiles: list[Annotated[MeetingStiles, Strict(False)]] | None = None
    threshold: list[Annotated[Threshold, Strict(False)]] | None = None
    sash_cords: list[Annotated[SashCords, Strict(False)]] | None = None
    side_strips: list[Annotated[SideStrips, Strict(False)]] | None = None


class Step(WireModel):
    """One step of the work on site, in its order."""

    kinds: list[OpeningKind]
    """The kinds of opening that it is for."""
    statement: str
    source: str


class RuleSetNotice(WireModel):
    """When the reader is told that something is not covered."""

    code: str
    kinds: list[OpeningKind]
    when: Condition
    statement: str
    source: str


class SettingTimes(WireModel):
    """A setting of the rule set, so many times."""

    setting: str
    times: Count


class LengthFormula(WireModel):
    """A length: a size of the opening, plus and less settings of the rule set."""

    of: LengthTerm | None
    """The size; null where the length is made of settings alone."""
    plus: list[SettingTimes]
    less: list[SettingTimes]


class Rule(WireModel):
    """One rule: which pieces an edge of some kinds of opening takes."""

    id: str
    kinds: list[OpeningKind]
    edge: Edge
    member: str
    lies_on: LiesOn
    length: LengthFormula
    """Which length the pieces have."""
    per: CountedPer
    """What the pieces are counted for."""
    pieces: Count
    runs: Count
    """The trade's count, in full lengths of the edge, per opening."""
    product: str
    fastener: str | None
    """Null where the pieces take no fasteners from the order."""
    spacing: str | None
    """The setting that is the rule's own spacing; null leaves it to the rule set's spacing."""
    end_distance: str | None
    """The setting that is the rule's own end distance; null leaves it to the policy."""
    least_fasteners: Count
    """The fewest fasteners of a piece, when they are counted per piece."""
    yields_to: list[str]
    """The rule gives nothing where the opening also names one of these rule sets."""
    when: Condition
    statement: str
    source: str


class RuleSet(RuleSetSummary):
    """The rules of one product, each with its source."""

    source: str
    product: str
    fastener: str
    spacing: Spacing
    settings: list[Setting]
    assumptions: list[Assumption]
    notices: list[RuleSetNotice]
    steps: list[Step]
    """The order of work on site."""
    rules: list[Rule]
