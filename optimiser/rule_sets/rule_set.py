"""The frozen types of a rule set: which pieces an opening needs, by kind and edge."""

from dataclasses import dataclass
from enum import StrEnum

from optimiser.domain.opening import Edge, MeetingStiles, Opening, OpeningKind, Threshold
from optimiser.domain.takeoff import LiesOn


class LengthTerm(StrEnum):
    """The length of a rule's pieces, net."""

    OPENING_WIDTH = "opening-width"
    OPENING_HEIGHT = "opening-height"
    LEAF_WIDTH = "leaf-width"
    LEAF_HEIGHT = "leaf-height"


class CountedPer(StrEnum):
    """What a rule's pieces are counted for."""

    OPENING = "opening"
    LEAF = "leaf"


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """The options of an opening under which an entry holds; `None` holds under any."""

    meeting_stiles: MeetingStiles | None = None
    threshold: Threshold | None = None

    def holds_for(self, opening: Opening) -> bool:
        """Return whether the opening has the options that the condition names."""
        return self.meeting_stiles in (None, opening.meeting_stiles) and self.threshold in (
            None,
            opening.threshold,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule: an edge of some kinds of opening takes `pieces` pieces per opening or leaf.

    `runs` is what the trade counts for them per opening, in full lengths of the edge.
    `fastener` is `None` where the pieces take no fasteners from the order.
    """

    id: str
    kinds: tuple[OpeningKind, ...]
    edge: Edge
    member: str
    lies_on: LiesOn
    length: LengthTerm
    per: CountedPer
    pieces: int
    runs: int
    product: str
    fastener: str | None
    when: Condition
    statement: str
    source: str

    def count_for(self, opening: Opening) -> int:
        """Return the pieces that one opening takes by this rule."""
        return self.pieces * (opening.leaves if self.per is CountedPer.LEAF else 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """The fastener spacing, centre to centre, where neither opening nor policy states one."""

    length_nm: int
    statement: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """What the rules take for granted."""

    id: str
    statement: str
    source: str


class NoticeCode(StrEnum):
    """The notices that a rule set can give; the codes of the notices of the domain."""

    MEETING_STILES_BY_OTHERS = "meeting-stiles-by-others"


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeRule:
    """When the reader is told that something is not covered."""

    code: NoticeCode
    kinds: tuple[OpeningKind, ...]
    when: Condition
    statement: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleSet:
    """The rules of one product: its takeoff, its fastener and that fastener's spacing."""

    id: str
    title: str
    statement: str
    source: str
    product: str
    fastener: str
    spacing: Spacing
    assumptions: tuple[Assumption, ...]
    notices: tuple[NoticeRule, ...]
    rules: tuple[Rule, ...]

    @property
    def kinds(self) -> tuple[OpeningKind, ...]:
        """Return the kinds of opening that have rules."""
        return tuple(kind for kind in OpeningKind if self.rules_for(kind))

    def rules_for(self, kind: OpeningKind) -> tuple[Rule, ...]:
        """Return the rules of one kind of opening, under any options, in their order."""
        return tuple(rule for rule in self.rules if kind in rule.kinds)
