"""What a study answers: a row for each point, where the decision flips, what matters most."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from optimiser.domain.decision import Certificate
from optimiser.domain.faults import Fault


class PointOutcome(StrEnum):
    """What came of a point."""

    PLANNED = "planned"
    INVALID = "invalid"
    """The order could not be made of the base, or holds wrong values."""
    NO_PLAN = "no-plan"
    NOT_IN_TIME = "not-in-time"
    CHECK_FAILED = "check-failed"
    """The plan did not survive its re-proof: a defect of the library."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseChange:
    """A SKU of which another number is bought than in the base's plan."""

    supplier: str
    sku: str
    base_quantity: int
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyRow:
    """One point. What a plan says is `None` where there is none; `faults` then say why.

    `values` pairs each axis that the point lies on with its value there. `difference` is the cost
    less the base's, `difference_percent` that in per cent of the base's cost, to two decimals;
    `None` where the base has no plan, or one in another currency, or costs nothing. `equal_to`
    names an earlier point with an equal order. `drop_nm` is the drops of all bars that are cut.
    """

    scenario: str
    outcome: PointOutcome
    values: tuple[tuple[str, str], ...] = ()
    faults: tuple[Fault, ...] = ()
    equal_to: str = ""
    currency: str = ""
    cost: Decimal | None = None
    difference: Decimal | None = None
    difference_percent: Decimal | None = None
    changes: tuple[PurchaseChange, ...] = ()
    kits: int | None = None
    kits_with_fasteners: int | None = None
    spare_fasteners: int | None = None
    drop_nm: int | None = None
    certificate: Certificate | None = None

    @property
    def proved(self) -> bool:
        """Return whether the cost is proved to be the least."""
        return self.certificate is not None and self.certificate.proved


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """The base, and the points in the order in which they were asked for."""

    base: StudyRow
    rows: tuple[StudyRow, ...] = ()
