"""What goes to a solver process and what comes back: plain values that can be pickled."""

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from optimiser.domain.faults import Fault
from optimiser.domain.fit import Calculation, Fit
from optimiser.domain.order import Order
from optimiser.domain.publication import Edition
from optimiser.domain.purchase_order import Ordering
from optimiser.domain.quote import Quote
from optimiser.domain.quote_terms import Terms
from optimiser.rule_sets import RuleSet
from service.studies.request import StudyRequest


class PlanDocument(StrEnum):
    """What is written of a plan."""

    PLAN = "plan"
    BENCH_SHEETS = "bench-sheets"
    INSTALL_SHEETS = "install-sheets"
    PURCHASE_ORDERS = "purchase-orders"
    QUOTE = "quote"
    """As text the customer's part alone, as JSON both."""
    QUOTE_INSIDE = "quote-inside"
    KEPT = "kept"
    """Everything that is kept of a plan."""
    PUBLISHED = "published"
    """A document that people read, in a form and an edition of the reader's choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteFigures:
    """What install sheets show beside the takeoff, by mark: net sizes, and cuts in the leaf."""

    sizes: dict[str, tuple[Calculation, ...]] = field(default_factory=dict)
    fits: dict[str, Fit] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToPublish:
    """A document that people read: its name, the media type of its form, its edition."""

    document: str
    media_type: str
    edition: Edition


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanJob:
    """An order to plan, and what is wanted of its plan, as text or as JSON.

    `rule_sets` are the user's own; `on_site` is shown by install sheets; purchase orders need an
    `ordering`, quotes `terms`. `publish` says which document is wanted where one that people read
    is. Of a `watched` job the solver tells how far it is.
    """

    order: Order
    rule_sets: tuple[RuleSet, ...] = ()
    as_text: bool
    document: PlanDocument = PlanDocument.PLAN
    on_site: SiteFigures = field(default_factory=SiteFigures)
    ordering: Ordering | None = None
    publish: ToPublish | None = None
    terms: Terms | None = None
    watched: bool = False

    @property
    def limit_seconds(self) -> float:
        """Return how long the solver may take."""
        return self.order.policy.time_limit_seconds

    @property
    def lines(self) -> int:
        """Return the lines of schedules that are taken off, checked and written."""
        return len(self.order.openings)

    @property
    def currency(self) -> str:
        """Return the currency that progress is told in."""
        return self.order.catalogue.currency


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyJob:
    """A study to make. `publish` says which form of its document is wanted, too, if one is.

    Of a `watched` job the solver tells how far it is.
    """

    study: StudyRequest
    publish: ToPublish | None = None
    watched: bool = False

    @property
    def limit_seconds(self) -> float:
        """Return how long the solver may take: the base's plan, and all points together."""
        limit = self.study.base.order.policy.time_limit_seconds
        return limit + self.study.time_limit_seconds

    @property
    def lines(self) -> int:
        """Return the lines of schedules that are taken off, checked and written."""
        return len(self.study.base.order.openings) * (1 + self.study.work)

    @property
    def currency(self) -> str:
        """Return the currency that progress is told in."""
        return self.study.base.order.catalogue.currency


SolverJob = PlanJob | StudyJob


@dataclass(frozen=True, kw_only=True)
class Planned:
    """A plan, written out in UTF-8, and the seconds that making it took.

    `gap_percent` is how much of its cost might at most be saved; 0 where it is proved.
    """

    document: bytes
    seconds: float
    proved: bool
    gap_percent: float


@dataclass(frozen=True, kw_only=True)
class PlannedToKeep(Planned):
    """A plan as it is kept: as JSON (`document`), as text, and as the solver decided it.

    `solution` is JSON; `total` is in `currency`, `gap` the gap that is left.
    """

    text: str
    solution: str
    currency: str
    total: Decimal
    gap: Decimal


@dataclass(frozen=True, kw_only=True)
class Studied(Planned):
    """A study as JSON (`document`), as text and as CSV. `proved` speaks of all points.

    `published` is the document that people read, where it was wanted.
    """

    text: str
    table: str
    currency: str
    points: int
    published: bytes = b""


@dataclass(frozen=True, kw_only=True)
class Quoted(Planned):
    """A plan that was priced; `document` is its quote, written out."""

    quote: Quote


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejected:
    """An order that is invalid, or that nothing offered can serve (`no_plan`)."""

    faults: tuple[Fault, ...]
    no_plan: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OutOfTime:
    """No plan was found within the order's time limit."""

    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckFailed:
    """A plan did not survive its re-proof. For the log, never for an answer."""

    failures: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """An error that nobody expected. `trace` is for the log, never for an answer."""

    trace: str


Outcome = Planned | Rejected | OutOfTime | CheckFailed | Broken


@dataclass(frozen=True, slots=True)
class Hail:
    """Asks a solver process whether it answers; it sends the same back."""
