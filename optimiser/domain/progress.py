"""How far the making of a plan has come, for whoever watches it."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class Phase(StrEnum):
    """What is being done, in this order."""

    TAKING_OFF = "taking-off"
    SOLVING = "solving"
    ALTERNATIVES = "alternatives"
    CHECKING = "checking"
    WRITING = "writing"
    STUDYING = "studying"
    """The points of a study are planned, one after the other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """A phase, and what is known of the plan: money in the order's currency.

    `best_cost` is that of the best plan so far, `lower_bound` what no plan can cost less than;
    `None` before there is one. The bound only ever rises, the cost only ever falls. Of a study,
    `points_done` of `points` are planned.
    """

    phase: Phase
    best_cost: Decimal | None = None
    lower_bound: Decimal | None = None
    points_done: int | None = None
    points: int | None = None


Observer = Callable[[Progress], None]
"""Told of each new phase, and of each better cost or bound. It must not raise."""


class Watched:
    """Tells an observer how far a plan has come; without one it does nothing."""

    def __init__(self, observer: Observer | None) -> None:
        self._observer = observer
        self._phase = Phase.TAKING_OFF
        self._cost: Decimal | None = None
        self._bound: Decimal | None = None

    def enter(self, phase: Phase) -> None:
        """Tell of a new phase."""
        self._phase = phase
        self._tell()

    def learn(self, cost: Decimal | None, bound: Decimal) -> None:
        """Tell of a cost and a bound, where one of them is better than what was told."""
        better_cost = cost is not None and (self._cost is None or cost < self._cost)
        better_bound = self._bound is None or bound > self._bound
        if better_cost:
            self._cost = cost
        if better_bound:
            self._bound = bound
        if better_cost or better_bound:
            self._tell()

    def _tell(self) -> None:
        if self._observer is not None:
            self._observer(
                Progress(phase=self._phase, best_cost=self._cost, lower_bound=self._bound)
            )
