"""The frozen types of a rule set: which pieces an opening needs, by kind and edge."""

from dataclasses import dataclass
from enum import StrEnum

from optimiser.domain.opening import Edge, Opening, OpeningKind
from optimiser.domain.takeoff import LiesOn


class LengthTerm(StrEnum):
    """The size that a length starts from."""

    OPENING_WIDTH = "opening-width"
    OPENING_HEIGHT = "opening-height"
    LEAF_WIDTH = "leaf-width"
    LEAF_HEIGHT = "leaf-height"
    UPPER_LEAF_HEIGHT = "upper-leaf-height"
    LOWER_LEAF_HEIGHT = "lower-leaf-height"
    SASH_WIDTH = "sash-width"
    UPPER_SASH_HEIGHT = "upper-sash-height"
    LOWER_SASH_HEIGHT = "lower-sash-height"


class CountedPer(StrEnum):
    """What a rule's pieces are counted for: where a run splits."""

    OPENING = "opening"
    LEAF = "leaf"
    SASH = "sash"


class SpacingSetBy(StrEnum):
    """Who chooses a rule set's spacing where the opening states none.

    `INSTALLER`: the policy goes before the rule set. `RULE_SET`: the rule set alone.
    """

    INSTALLER = "installer"
    RULE_SET = "rule-set"


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthFormula:
    """The net length of a piece: a size, plus and less settings, each so many times.

    `of` is `None` where the length is made of settings alone.
    """

    of: LengthTerm | None
    plus: tuple[tuple[str, int], ...] = ()
    less: tuple[tuple[str, int], ...] = ()

    @property
    def settings(self) -> tuple[str, ...]:
        """Return the settings that the formula names."""
        return tuple(name for name, _ in (*self.plus, *self.less))


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """The options of an opening under which an entry holds.

    `options` pairs the name of an option with the values that it may have; an option that is
    not named may have any.
    """

    options: tuple[tuple[str, tuple[StrEnum, ...]], ...] = ()

    def holds_for(self, opening: Opening) -> bool:
        """Return whether the opening has the options that the condition names."""
        return all(opening.option(name) in values for name, values in self.options)

    def values_of(self, name: str) -> tuple[StrEnum, ...]:
        """Return the values that an option may have; empty where it is not named."""
        return dict(self.options).get(name, ())


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule: an edge of some kinds of opening takes `pieces` pieces per opening, leaf or sash.

    `runs` is what the trade counts for them per opening, in full lengths of the edge; it is 0
    for a piece whose run is counted elsewhere. `fastener` is `None` where the pieces take no
    fasteners from the order. `spacing` and `end_distance` name settings; `None` leaves the
    spacing to the installer and the rule set, the end distance to the policy. The rule gives
    nothing where the opening also names a rule set of `yields_to`.
    """

    id: str
    kinds: tuple[OpeningKind, ...]
    edge: Edge
    member: str
    lies_on: LiesOn
    length: LengthFormula
    per: CountedPer
    pieces: int
    runs: int
    product: str
    fastener: str | None
    spacing: str | None
    end_distance: str | None
    least_fasteners: int
    when: Condition
    yields_to: tuple[str, ...]
    statement: str
    source: str

    def count_for(self, opening: Opening) -> int:
        """Return the pieces that one opening takes by this rule."""
        match self.per:
            case CountedPer.OPENING:
                return self.pieces
            case CountedPer.LEAF:
                return self.pieces * opening.leaves
            case CountedPer.SASH:
                return self.pieces * 2

    def holds_for(self, opening: Opening) -> bool:
        """Return whether the rule holds for the opening's kind, options and other rule sets."""
        return (
            opening.kind in self.kinds
            and self.when.holds_for(opening)
            and not set(self.yields_to) & set(opening.rule_sets)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A length that the formulas name: a lap, a mitre, a notch, an end clearance, a spacing."""

    id: str
    length_nm: int
    statement: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """The fastener spacing, centre to centre, where nothing that goes before it states one."""

    length_nm: int
    set_by: SpacingSetBy
    statement: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """What the rules take for granted."""

    id: str
    statement: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the work on site, in its order; `kinds` are those that it is for."""

    statement: str
    source: str
    kinds: tuple[OpeningKind, ...] = tuple(OpeningKind)


class NoticeCode(StrEnum):
    """The notices that a rule set can give; the codes of the notices of the domain."""

    MEETING_STILES_BY_OTHERS = "meeting-stiles-by-others"
    ASTRAGAL_BY_OTHERS = "astragal-by-others"
    MEETING_RAIL_BY_OTHERS = "meeting-rail-by-others"


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
    settings: tuple[Setting, ...]
    assumptions: tuple[Assumption, ...]
    notices: tuple[NoticeRule, ...]
    steps: tuple[Step, ...]
    rules: tuple[Rule, ...]

    @property
    def kinds(self) -> tuple[OpeningKind, ...]:
        """Return the kinds of opening that have rules."""
        return tuple(kind for kind in OpeningKind if self.rules_for(kind))

    def rules_for(self, kind: OpeningKind) -> tuple[Rule, ...]:
        """Return the rules of one kind of opening, under any options, in their order."""
        return tuple(rule for rule in self.rules if kind in rule.kinds)
