"""Which openings can be finished with what has arrived, and what the others wait for."""

from dataclasses import dataclass

from optimiser.domain.takeoff import FastenerPool


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortGoods:
    """`quantity` units, as sold, that openings lack of one line of the purchase."""

    supplier: str
    sku: str
    quantity: int
    made_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortFasteners:
    """`count` fasteners of one pool that openings lack."""

    pool: FastenerPool
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Readiness:
    """One mark: `ready` of its `quantity` openings can be finished; what the others lack.

    What is lacking is what the waiting openings of this mark alone would need beside all that is
    left when the ready openings of every mark are finished.
    """

    mark: str
    quantity: int
    ready: int
    goods: tuple[ShortGoods, ...] = ()
    fasteners: tuple[ShortFasteners, ...] = ()

    @property
    def waiting(self) -> int:
        """Return the openings that cannot be finished yet."""
        return self.quantity - self.ready


@dataclass(frozen=True, slots=True, kw_only=True)
class LateLine:
    """A line of which `open` units have not arrived, and the openings that it holds up.

    `holds_up` pairs each mark with its openings that wait.
    """

    supplier: str
    sku: str
    open: int
    holds_up: tuple[tuple[str, int], ...]
    made_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BackOrders:
    """Every mark in the order in which it is served, and the lines that hold openings up."""

    openings: tuple[Readiness, ...]
    late_lines: tuple[LateLine, ...]
