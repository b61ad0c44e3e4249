"""An opening: the hole with its frame, and what the user wants on it."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType


class OpeningKind(StrEnum):
    """What closes the opening.

    The leaves of a Dutch door stand one above the other. A hopper window is hinged at the
    sill, an awning window at the head. The sashes of a double-hung window slide up and down.
    """

    SINGLE_DOOR = "single-door"
    PAIR_OF_DOORS = "pair-of-doors"
    DUTCH_DOOR = "dutch-door"
    CASEMENT_WINDOW = "casement-window"
    HOPPER_WINDOW = "hopper-window"
    AWNING_WINDOW = "awning-window"
    DOUBLE_HUNG_WINDOW = "double-hung-window"
    FIXED_WINDOW = "fixed-window"


class SizeOf(StrEnum):
    """What the stated width and height measure: the datum.

    A nominal size is that of the leaf as it is named in the trade, before it is made.
    """

    LEAF = "leaf"
    OPENING = "opening"
    ROUGH_OPENING = "rough-opening"
    NOMINAL = "nominal"


class Leaf(StrEnum):
    """A leaf of a pair: the one that opens first, or the one that it closes on."""

    ACTIVE = "active"
    INACTIVE = "inactive"


class Edge(StrEnum):
    """An edge of the opening. Windows that are not hinged at a side have two plain jambs.

    The meeting rail is where two sashes, or the leaves of a Dutch door, meet.
    """

    HEAD = "head"
    HINGE_JAMB = "hinge-jamb"
    STRIKE_JAMB = "strike-jamb"
    JAMB = "jamb"
    SILL = "sill"
    MEETING_STILES = "meeting-stiles"
    MEETING_RAIL = "meeting-rail"


class MeetingStiles(StrEnum):
    """How the meeting stiles of a pair are sealed."""

    BY_OTHERS = "by-others"
    NESTED_MEMBERS = "nested-members"
    ASTRAGAL = "astragal"
    """By an astragal, which others supply."""


class Threshold(StrEnum):
    """What closes the fourth side of a door."""

    NONE = "none"
    PLAIN = "plain"
    INTERLOCKING = "interlocking"


class SashCords(StrEnum):
    """Whether the sashes of a window hang on cords, which run over pulleys in the jambs."""

    NONE = "none"
    OVER_PULLEYS = "over-pulleys"


class SideStrips(StrEnum):
    """How far the strips at the sides of a double-hung window reach."""

    FULL_HEIGHT = "full-height"
    SASH_HEIGHT = "sash-height"


OPTIONS: Mapping[str, type[StrEnum]] = MappingProxyType(
    {
        "meeting_stiles": MeetingStiles,
        "threshold": Threshold,
        "sash_cords": SashCords,
        "side_strips": SideStrips,
    }
)
"""The fields of an opening that choose between rules; the first choice of each is the usual."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """One line of the schedule: `quantity` identical openings under one mark.

    `width_nm` and `height_nm` are the stated sizes in nanometres. Sized by the leaf, the width
    of a pair is that of one leaf, and the height of a Dutch door or a double-hung window is
    that of both leaves or sashes together; a nominal width is that of all leaves.
    `lower_height_nm` is the height of the lower leaf or sash; `None` takes half.
    `inactive_leaf_width_nm` is the width of the inactive leaf of a pair, nominal where the size
    is; the active leaf has the rest, and sized by the leaf the stated width is the active one's.
    `None` takes both leaves as equally wide.

    `rule_set` and `also` name the works under this mark: a strip, and a threshold and a sweep
    with it. `finish` is that of every product but those in `finishes`, which pairs a product
    with a finish of its own. `fastener_spacing_nm` is the installer's spacing, centre to
    centre; `None` leaves it to the policy and then to the rule set. `edges` limits the work to
    some edges; `None` means every edge of the rule sets.
    """

    mark: str
    kind: OpeningKind
    width_nm: int
    height_nm: int
    size_of: SizeOf = SizeOf.OPENING
    lower_height_nm: int | None = None
    inactive_leaf_width_nm: int | None = None
    quantity: int = 1
    rule_set: str = "interlocking-strip"
    also: tuple[str, ...] = ()
    finish: str
    finishes: tuple[tuple[str, str], ...] = ()
    fastener_spacing_nm: int | None = None
    meeting_stiles: MeetingStiles = MeetingStiles.BY_OTHERS
    threshold: Threshold = Threshold.NONE
    sash_cords: SashCords = SashCords.NONE
    side_strips: SideStrips = SideStrips.FULL_HEIGHT
    edges: frozenset[Edge] | None = None
    remarks: str = ""
    notes: tuple[str, ...] = ()
    """Remarks of the reader of the size, such as a shorthand that is easily misread."""

    @property
    def leaves(self) -> int:
        """Return the number of leaves."""
        both = {OpeningKind.PAIR_OF_DOORS, OpeningKind.DUTCH_DOOR}
        return 2 if self.kind in both else 1

    @property
    def leaves_abreast(self) -> int:
        """Return the number of leaves side by side."""
        return 2 if self.kind is OpeningKind.PAIR_OF_DOORS else 1

    @property
    def rule_sets(self) -> tuple[str, ...]:
        """Return the rule sets that the opening names, the main one first."""
        return self.rule_set, *self.also

    @property
    def unequal_leaves(self) -> tuple[Leaf, ...]:
        """Return the leaves where their widths differ by what is stated, else none."""
        return () if self.inactive_leaf_width_nm is None else tuple(Leaf)

    def option(self, name: str) -> StrEnum:
        """Return what the opening states for one of `OPTIONS`."""
        value = getattr(self, name)
        assert isinstance(value, StrEnum)
        return value

    def finish_of(self, product: str) -> str:
        """Return the finish that a product has in this opening."""
        return dict(self.finishes).get(product, self.finish)
