"""Documents for the bench and the site: labels, cutting diagrams, install sheets."""

from dataclasses import dataclass
from enum import StrEnum

from optimiser.domain.catalogue import Material
from optimiser.domain.fit import Calculation, Fit
from optimiser.domain.opening import Edge, Opening
from optimiser.domain.plan import SetSupply
from optimiser.domain.reasons import Caution, Notice
from optimiser.domain.splicing import EdgeEnd
from optimiser.domain.takeoff import LiesOn
from optimiser.domain.trimming import TrimLine
from optimiser.units.lengths import LengthUnit


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What is written on each of `copies` pieces that are cut alike for one mark.

    `from_patterns` pairs the name of each pattern with the pieces that its bars give. The
    segment of a spliced piece states the length of the whole piece in `segment_of_nm`, and in
    `segment_end` at which end of the edge it lies. `name` says which piece it is: mark, edge and
    member, and the segment's number.
    """

    name: str
    mark: str
    edge: Edge
    member: str
    lies_on: LiesOn
    material: Material
    length_nm: int
    copies: int
    from_patterns: tuple[tuple[str, int], ...]
    segment_of_nm: int | None = None
    segment_end: EdgeEnd | None = None


class SpanKind(StrEnum):
    """What a stretch of a bar is."""

    TRIM = "trim"
    PIECE = "piece"
    KERF = "kerf"
    DROP = "drop"


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch of a bar, from `start_nm` to `end_nm` as measured from its left end."""

    kind: SpanKind
    start_nm: int
    end_nm: int

    @property
    def length_nm(self) -> int:
        """Return the length of the stretch."""
        return self.end_nm - self.start_nm


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingDiagram:
    """How each of `bars` bars is cut: its spans, which join without a gap, from left to right."""

    pattern: str
    sku: str
    from_rack: bool
    material: Material
    bars: int
    stock_nm: int
    spans: tuple[Span, ...]
    labels: tuple[tuple[int, str, int], ...]
    """Which marks the pieces go to: a piece's length, the mark, and the pieces over all bars."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BarsToPull:
    """Whole bars to lay out before cutting begins; of an offcut, its id stands as `sku`."""

    sku: str
    material: Material
    stock_nm: int
    bars: int
    from_rack: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningAtBench:
    """The cut list of one mark: a label for each line; none where nothing is cut for it.

    `cut` is how many of the mark's openings are cut, at least in part; the others are supplied
    by kits. `trim_list` are the pieces of standard kits, which are trimmed on site.
    """

    opening: Opening
    cut: int
    cut_list: tuple[Label, ...]
    trim_list: tuple[TrimLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchSheets:
    """All that the bench works from: bars, cutting diagrams, cut lists with labels, cautions."""

    reference: str
    unit: LengthUnit
    bars: tuple[BarsToPull, ...]
    diagrams: tuple[CuttingDiagram, ...]
    openings: tuple[OpeningAtBench, ...]
    cautions: tuple[Caution, ...]


HOW_FASTENERS_STAND = (
    "Fasteners of a piece: (length − 2 × end distance) ÷ spacing, rounded up, + 1; one at the end "
    "distance from each end, the others at even spaces between them. A piece too short for both "
    "end distances has its fasteners in the middles of equal parts.",
    "even division; common practice, no source",
)
"""How the positions on an install sheet are worked out, and its source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SplicedPieces:
    """Pieces that the plan makes of two segments: how they lie, and where their fasteners stand.

    `pieces` are over all openings of the mark. `segments_nm` lie in this order from the first of
    `ends`, with the joint where the first ends; `positions_nm` are the fasteners of one such
    piece, measured from that end, with one near the joint in each segment.
    """

    pieces: int
    material: Material
    segments_nm: tuple[int, int]
    ends: tuple[EdgeEnd, EdgeEnd]
    positions_nm: tuple[int, ...]

    @property
    def joint_nm(self) -> int:
        """Return where the joint lies, from the first end."""
        return self.segments_nm[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class InstallPiece:
    """A piece on site: where it goes, and where its fasteners stand.

    `positions_nm` are the fasteners of one piece, from its left or lower end, the first and
    the last near its ends; empty where the piece takes none from the order. `spacing_nm` is what
    they may stand apart at most, `end_distance_nm` what is kept to the ends. `spliced` are those
    of all openings that the plan makes of two segments; `may_be_spliced` says that no plan was
    made and the policy allows it.
    """

    edge: Edge
    member: str
    lies_on: LiesOn
    material: Material
    length_nm: int
    count: int
    fastener: str | None
    spacing_nm: int
    end_distance_nm: int
    positions_nm: tuple[int, ...]
    statement: str
    """What the rule that gave the piece says of it."""
    spliced: tuple[SplicedPieces, ...] = ()
    may_be_spliced: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenersOnSite:
    """The fasteners of one type in one opening: at the positions, and as they were counted.

    `at_joints` are those that spliced pieces take beyond that, over all openings of the mark.
    """

    fastener: str
    at_positions: int
    by_running_length: int
    at_joints: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class InstallSheet:
    """What a carpenter needs to work on one mark.

    `sizes` are the net sizes of frame and leaf; `notices` speak of this mark alone. `steps`
    pairs each step of the work with its source, the cuts in the leaf among them. `supplies` and
    `trim_list` are those of the plan, and empty where none was made; `kit_materials` says what
    the kits in them are made of.
    """

    opening: Opening
    sizes: tuple[Calculation, ...]
    pieces: tuple[InstallPiece, ...]
    fasteners: tuple[FastenersOnSite, ...]
    fit: Fit | None
    steps: tuple[tuple[str, str], ...]
    cautions: tuple[Caution, ...]
    notices: tuple[Notice, ...]
    supplies: tuple[SetSupply, ...] = ()
    trim_list: tuple[TrimLine, ...] = ()
    kit_materials: tuple[tuple[str, Material], ...] = ()
