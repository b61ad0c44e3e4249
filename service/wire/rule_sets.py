"""Rule sets: the takeoff's rules as data."""

from optimiser.domain.opening import Edge, MeetingStiles, OpeningKind, Threshold
from optimiser.domain.takeoff import LiesOn
from optimiser.rule_sets.rule_set import CountedPer, LengthTerm
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
    """The fastener spacing, centre to centre, where neither opening nor policy states one."""

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

    meeting_stiles: MeetingStiles | None
    threshold: Threshold | None


class RuleSetNotice(WireModel):
    """When the reader is told that something is not covered."""

    code: str
    kinds: list[OpeningKind]
    when: Condition
    statement: str
    source: str


class Rule(WireModel):
    """One rule: which pieces an edge of some kinds of opening takes."""

    id: str
    kinds: list[OpeningKind]
    edge: Edge
    member: str
    lies_on: LiesOn
    length: LengthTerm
    """Which length the pieces have."""
    per: CountedPer
    """What the pieces are counted for."""
    pieces: Count
    runs: Count
    """The trade's count, in full lengths of the edge, per opening."""
    product: str
    fastener: str | None
    """Null where the pieces take no fasteners from the order."""
    when: Condition
    statement: str
    source: str


class RuleSet(RuleSetSummary):
    """The rules of one product, each with its source."""

    source: str
    product: str
    fastener: str
    spacing: Spacing
    assumptions: list[Assumption]
    notices: list[RuleSetNotice]
    rules: list[Rule]
