"""What a study asks, as it was read."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from optimiser.domain.study_questions import Question
from optimiser.study import Point
from service.mapping.reading import OrderRequest
from service.studies.axes import Axis, count_points
from service.studies.pointer import Pointer

SOLVES_OF_A_BREAK_EVEN = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """A named change of the order: the patch first, then the values where their pointers lead."""

    name: str
    patch: dict[str, Any]
    values: tuple[tuple[Pointer, Any], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberRange:
    """A number from `low` to `high` by `step`, looked at in `samples`; `money` is text in JSON."""

    name: str
    pointers: tuple[Pointer, ...]
    low: Decimal
    high: Decimal
    step: Decimal
    money: bool
    samples: int
    watched: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """An input that is moved down and up: by `step`, or by `percent` of its value."""

    name: str
    pointers: tuple[Pointer, ...]
    step: Decimal | None
    percent: Decimal | None

    def change(self, value: Decimal, sign: int) -> Decimal:
        """Return the value moved down (-1), not at all (0) or up (1)."""
        if self.step is not None:
            return value + sign * self.step
        return value * (100 + sign * (self.percent or 0)) / 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question that is asked again and again, and the points that it makes."""

    question: Question
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyRequest:
    """What is asked: `raw` is the order as JSON, `base` the same order as it was read."""

    raw: Any
    base: OrderRequest
    scenarios: tuple[Scenario, ...]
    axes: tuple[Axis, ...]
    break_evens: tuple[NumberRange, ...]
    ranking: tuple[Moved, ...]
    questions: tuple[Asked, ...]
    time_limit_seconds: int
    longest_time_limit_seconds: float

    @property
    def points(self) -> int:
        """Return how many points scenarios and axes make."""
        return count_points(len(self.scenarios), [len(axis.values) for axis in self.axes])

    @property
    def work(self) -> int:
        """Return about how many plans it takes: a break-even some dozens, an input two."""
        asked = sum(len(question.points) for question in self.questions)
        return (
            self.points
            + asked
            + SOLVES_OF_A_BREAK_EVEN * len(self.break_evens)
            + 2 * len(self.ranking)
        )
