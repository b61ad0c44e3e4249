"""What the engine has found: a point, its cost, and a bound that holds for the program."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from optimiser.domain.decision import Method
from optimiser.solver.budget import Budget
from optimiser.solver.program import Pattern, Point, Program, ProgramInfeasible, broken_by


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Hint:
    """What is known of a program before it is searched.

    `solved` is its solution, where that is known. Otherwise a search may begin from `start`, a
    point of it, from `bound`, a valid bound, and from `patterns`. `elsewhere` says that the start
    comes from a program with other costs: nothing has been searched with these.
    """

    solved: Solved | None = None
    start: Point | None = None
    bound: int | None = None
    patterns: tuple[Pattern, ...] = ()
    elsewhere: bool = False


def without_decisions(program: Program) -> Solved | None:
    """Return the solution of a program of rows alone; `None` where there is more to it.

    Raises:
        ProgramInfeasible: a row is broken as it stands.
    """
    if program.columns or program.covers or program.sources:
        return None
    nothing = Point(block=())
    if broken_by(program, nothing) is not None:
        raise ProgramInfeasible
    return Solved(
        point=nothing,
        cost=0,
        bound=0,
        method=Method.ALL_PATTERNS,
        patterns=(),
        complete=True,
        drop_proved=True,
        patterns_proved=True,
    )


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
        patterns: Sequence[Pattern] = (),
    ) -> Solved | None:
        """Return the parts' solution put together; `None` where one has none in time.

        `start` is a point of the whole to begin from, with `patterns` of the whole.
        """
