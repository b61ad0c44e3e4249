"""What the openings need: pieces and fasteners, before anything is bought."""

from dataclasses import dataclass
from enum import StrEnum

from optimiser.domain.catalogue import Material
from optimiser.domain.opening import Edge, Opening
from optimiser.domain.order import Policy
from optimiser.domain.reasons import Notice, RuleFired


class LiesOn(StrEnum):
    """Where a member is fixed."""

    FRAME = "frame"
    LEAF = "leaf"
    SASH = "sash"
    SILL = "sill"
    MEETING_RAIL = "meeting-rail"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Identical pieces that each opening of one mark needs on one edge.

    `length_nm` is net, before kerf. `count` is per opening. `runs` is the count in full
    lengths of the edge: a head member cut one per leaf is two pieces and one run. A piece
    with `fastener` `None` takes none from this order.

    `spacing_nm` is the spacing of its fasteners, `end_distance_nm` what is kept to its ends
    and `least_fasteners` the fewest that it takes; they say nothing where there is no fastener.
    `spacing_by_rule` says that neither the opening nor the policy chose the spacing.
    """

    edge: Edge
    member: str
    lies_on: LiesOn
    material: Material
    length_nm: int
    count: int
    runs: int
    fastener: str | None
    rule_id: str
    rule_set: str
    spacing_nm: int
    end_distance_nm: int
    least_fasteners: int
    spacing_by_rule: bool


@dataclass(frozen=True, slots=True, order=True)
class FastenerPool:
    """Fasteners that may stand in for each other: a type, and a finish where it must match."""

    fastener: str
    finish: str | None = None

    def __str__(self) -> str:
        return self.fastener if self.finish is None else f"{self.fastener}, {self.finish}"


def pool_of(fastener: str, finish: str | None, policy: Policy) -> FastenerPool:
    """Return the pool of a fastener type in a finish, under the policy on matching finishes."""
    return FastenerPool(fastener, finish if policy.fasteners_match_finish else None)


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerCount:
    """The fasteners of one pool at one spacing that each opening of one mark needs.

    Counted by both rules over the pieces that share the spacing, the distance that is kept to
    a piece's ends and the fewest fasteners of a piece.
    """

    pool: FastenerPool
    spacing_nm: int
    end_distance_nm: int
    least_fasteners: int
    running_length_nm: int
    by_running_length: int
    per_piece: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningTakeoff:
    """The takeoff of one mark; counts are per opening, `opening.quantity` of them."""

    opening: Opening
    pieces: tuple[Piece, ...]
    fasteners: tuple[FastenerCount, ...]

    @property
    def runs(self) -> int:
        """Return the trade's count of full-edge lengths."""
        return sum(piece.runs for piece in self.pieces)

    @property
    def running_length_nm(self) -> int:
        """Return the total length of the pieces of one opening."""
        return sum(piece.length_nm * piece.count for piece in self.pieces)


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerNeed:
    """The fasteners of one pool that the whole order needs.

    `by_running_length` and `per_piece` are the sums over all openings. `counted` is the one
    that the policy names; `needed` adds the allowance, rounded up, and the spares.
    """

    pool: FastenerPool
    by_running_length: int
    per_piece: int
    counted: int
    allowance: int
    spares: int

    @property
    def needed(self) -> int:
        """Return the count to have in hand: counted + allowance + spares."""
        return self.counted + self.allowance + self.spares


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceSet:
    """The pieces of one material that one opening needs: what a kit would hold.

    `lengths` pairs each length in nanometres with its count, longest first.
    `nailed_nm` pairs each fastener type with the running length that takes it. `spliceable`
    pairs a length with how many of its pieces may be spliced, by the policy's splice rules.
    """

    material: Material
    lengths: tuple[tuple[int, int], ...]
    nailed_nm: tuple[tuple[str, int], ...]
    spliceable: tuple[tuple[int, int], ...] = ()

    @property
    def running_length_nm(self) -> int:
        """Return the total length of the pieces."""
        return sum(length * count for length, count in self.lengths)

    @property
    def piece_count(self) -> int:
        """Return the number of pieces."""
        return sum(count for _, count in self.lengths)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetDemand:
    """`quantity` openings that need the same piece set. `marks` pairs each mark with its share."""

    piece_set: PieceSet
    quantity: int
    marks: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """All that has to be bought for: piece sets and fasteners, in a canonical order."""

    sets: tuple[SetDemand, ...]
    fasteners: tuple[FastenerNeed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Takeoff:
    """The takeoff of an order: by opening, summed up as demand, and how it came about."""

    openings: tuple[OpeningTakeoff, ...]
    demand: Demand
    firings: tuple[RuleFired, ...]
    notices: tuple[Notice, ...]
