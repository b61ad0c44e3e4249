"""Calculations of fit, each with its formula, its inputs and its source."""

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """An input that is no length: a coefficient, a temperature, a share of moisture."""

    name: str
    value: Fraction
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculation:
    """A length that was worked out, in nanometres, with all that it was worked out from.

    `inputs_nm` pairs names with lengths in nanometres. What the maker of a profile publishes
    wins over every calculation: `length_nm` is then the published figure, `published_by` says
    whose it is, and `worked_out_nm` is what the formula gives.
    """

    what: str
    length_nm: int
    formula: str
    inputs_nm: tuple[tuple[str, int], ...]
    numbers: tuple[Number, ...] = ()
    source: str
    published_by: str = ""
    worked_out_nm: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bit:
    """A router bit for a groove: its passes, and the clearance that they leave on each side.

    One pass of a bit leaves what the bit is wider than the rib; several passes, which only a
    bit at or under the groove needs, leave what the groove was worked out with.
    """

    size_nm: int
    passes: int
    clearance_each_side_nm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """What is left of the leaf beside a cut, and whether that is enough."""

    least_thickness: Calculation
    left: Calculation
    enough: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class GrooveFit:
    """The groove in the hinge stile that seats over the rib.

    `one_pass` is the narrowest bit that cuts it in one pass and not too loosely, `None` where no
    bit does;
    `at_or_under` are the bits that fit into it, widest first.
    """

    width: Calculation
    depth: Calculation
    one_pass: Bit | None
    at_or_under: tuple[Bit, ...]
    margin: Margin


@dataclass(frozen=True, slots=True, kw_only=True)
class RabbetFit:
    """The rabbet at strike and head, in which the nested members close flush."""

    width: Calculation
    depth: Calculation
    margin: Margin


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparation:
    """All that is cut into a leaf before its strip goes on, and in which order."""

    groove: GrooveFit
    rabbet: RabbetFit | None
    steps: tuple[tuple[str, str], ...]
    """The order of work: each step with its source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearanceCheck:
    """Whether the clearance `what` is enough for all that moves into it."""

    what: str
    clearance_nm: int
    movements: tuple[Calculation, ...]
    needed: Calculation
    left_nm: int

    @property
    def enough(self) -> bool:
        """Return whether something of the clearance is left, or just nothing lacks."""
        return self.left_nm >= 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """What is cut into a leaf for a profile, and whether the clearances hold what moves."""

    preparation: Preparation
    checks: tuple[ClearanceCheck, ...] = ()
