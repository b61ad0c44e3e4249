"""An opening: the hole with its frame, and what the user wants on it."""

from dataclasses import dataclass
from enum import StrEnum


class OpeningKind(StrEnum):
    """What closes the opening."""

    SINGLE_DOOR = "single-door"
    PAIR_OF_DOORS = "pair-of-doors"
    CASEMENT_WINDOW = "casement-window"
    FIXED_WINDOW = "fixed-window"


class SizeOf(StrEnum):
    """What the stated width and height measure."""

    LEAF = "leaf"
    OPENING = "opening"


class Edge(StrEnum):
    """An edge of the opening. A fixed window has two plain jambs."""

    HEAD = "head"
    HINGE_JAMB = "hinge-jamb"
    STRIKE_JAMB = "strike-jamb"
    JAMB = "jamb"
    SILL = "sill"
    MEETING_STILES = "meeting-stiles"


class MeetingStiles(StrEnum):
    """How the meeting stiles of a pair are sealed."""

    BY_OTHERS = "by-others"
    NESTED_MEMBERS = "nested-members"


class Threshold(StrEnum):
    """What closes the fourth side of a door."""

    NONE = "none"
    INTERLOCKING = "interlocking"


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """One line of the schedule: `quantity` identical openings under one mark.

    `width_nm` and `height_nm` are the stated sizes in nanometres; for a pair sized by the
    leaf, the width is that of one leaf. `fastener_spacing_nm` is the installer's spacing,
    centre to centre; `None` leaves it to the policy and then to the rule set. `edges` limits
    the work to some edges; `None` means every edge of the rule set.
    """

    mark: str
    kind: OpeningKind
    width_nm: int
    height_nm: int
    size_of: SizeOf = SizeOf.OPENING
    quantity: int = 1
    rule_set: str = "interlocking-strip"
    finish: str
    fastener_spacing_nm: int | None = None
    meeting_stiles: MeetingStiles = MeetingStiles.BY_OTHERS
    threshold: Threshold = Threshold.NONE
    edges: frozenset[Edge] | None = None
    remarks: str = ""
    notes: tuple[str, ...] = ()
    """Remarks of the reader of the size, such as a shorthand that is easily misread."""

    @property
    def leaves(self) -> int:
        """Return the number of leaves."""
        return 2 if self.kind is OpeningKind.PAIR_OF_DOORS else 1
