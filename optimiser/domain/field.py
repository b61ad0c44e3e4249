"""What is measured on site, what two readings say of it, and what a weighed sample gives."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from optimiser.domain.catalogue import PackContents
from optimiser.domain.fit import Calculation
from optimiser.domain.opening import Opening


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One length to take on site: `id` names it in a reading, `how` says where and how.

    `expected` is the net size that the order gives it, `None` where the order says nothing.
    """

    id: str
    what: str
    how: str
    expected: Calculation | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurementSheet:
    """The measurements to take on one mark; each opening of it has its own reading."""

    opening: Opening
    measurements: tuple[Measurement, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What was measured once on one opening: pairs of a measurement's id and nanometres."""

    lengths_nm: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingLimits:
    """What two readings and two lines of one reading may differ by, in nanometres.

    Common practice, no source; the test frame for edge seals is square within 1/32 in
    (ANSI/BHMA A156.22-2017, 4.1).
    """

    between_readings_nm: int = 1_587_500
    """1/16 in."""
    between_diagonals_nm: int = 3_175_000
    """1/8 in."""
    between_parallels_nm: int = 3_175_000
    """1/8 in: widths at top and bottom, heights at both sides."""
    from_order_nm: int = 3_175_000
    """1/8 in: what is measured against what the order gives."""


class FindingCode(StrEnum):
    """What a check of readings found."""

    NOT_MEASURED = "not-measured"
    NOT_ASKED = "not-asked"
    NOT_POSITIVE = "not-positive"
    READINGS_DIFFER = "readings-differ"
    OUT_OF_SQUARE = "out-of-square"
    NOT_PARALLEL = "not-parallel"
    NOT_AS_ORDERED = "not-as-ordered"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing to settle before anything is cut.

    `reading` is 1 or 2, and 0 where both are compared. `measurements` names one measurement or
    the two that are compared; `lengths_nm` are their lengths, or one measurement's in both
    readings, or what was measured and what the order gives.
    """

    code: FindingCode
    reading: int
    measurements: tuple[str, ...]
    lengths_nm: tuple[int, ...] = ()
    difference_nm: int = 0
    limit_nm: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingCheck:
    """What two readings of one opening say; nothing is cut while there are findings.

    `number` counts the openings of the mark from 1.
    """

    mark: str
    number: int = 1
    differences_nm: tuple[tuple[str, int], ...]
    """Second less first, for every measurement that both readings hold."""
    findings: tuple[Finding, ...]

    @property
    def may_be_cut(self) -> bool:
        """Return whether nothing was found."""
        return not self.findings


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedSample:
    """Fasteners that were weighed and counted: grams, exact, and their number."""

    grams: Fraction
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CalibratedPack:
    """What a pack of a stated mass holds, from weighed samples.

    `contents` is the pooled count with a tolerance that covers the sample with the fewest;
    `lowest` and `highest` are the counts that the extreme samples give for the pack. `counted`
    and `weighed_grams` are those of all samples together.
    """

    counted: int
    weighed_grams: Fraction
    pack_grams: Fraction
    contents: PackContents
    lowest: Fraction
    highest: Fraction
    formula: str
    source: str

    @property
    def spread(self) -> Fraction:
        """Return highest less lowest."""
        return self.highest - self.lowest
