"""What the engine has found: a point, its cost, and a bound that holds for the program."""

from dataclasses import dataclass
from typing import Protocol

from optimiser.domain.decision import Method
from optimiser.solver.budget import Budget
from optimiser.solver.program import Pattern, Point, Program


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """The best point, a whole lower bound for the program, and how the bound was got.

    `complete` says that `patterns` holds every pattern that is not dominated. `drop_proved`
    and `patterns_proved` speak of the lesser aims.
    """

    point: Point
    cost: int
    bound: int
    method: Method
    patterns: tuple[Pattern, ...]
    complete: bool
    drop_proved: bool = False
    patterns_proved: bool = False

    @property
    def proved(self) -> bool:
        """Return whether the bound meets the cost."""
        return self.bound >= self.cost


class SolveParts(Protocol):
    """Solves a program whose `fixed` columns keep their values, part by part."""

    def __call__(
        self,
        program: Program,
        fixed: dict[int, int],
        budget: Budget,
        *,
        thorough: bool,
        start: Point | None = None,
    ) -> Solved | None:
        """Return the parts' solution put together; `None` where one has none in time.

        `start` is a point of the whole to begin from.
        """
