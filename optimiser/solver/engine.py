"""The engine: from a program to the best point found and a bound that holds for all of it.

1. The program is split into parts that share nothing (`parts.py`).
2. Few patterns: all are listed, and one integer program over them proves the optimum.
3. Otherwise column generation gives a bound (`column_generation.py`).
4. Cuts that whole choices (kits, packs) imply raise the bound (`block_cuts.py`).
5. Good points: the choices are settled by an integer program in which bars may be cut in part,
   or by a dive where that finds none; the program then splits by material, and each material
   is solved on its own; a program without choices is dived into as it is (`diving.py`).
6. The patterns under the gap are enumerated and the integer program solved over them
   (`gap_closing.py`, `closing.py`). Where they are too many, those nearest to the bound are
   taken first, to bring the cost down; that proves nothing, and the bound stays what it was.
"""

from collections.abc import Sequence
from dataclasses import replace

from optimiser.domain.decision import Method
from optimiser.solver.budget import Budget
from optimiser.solver.gap_closing import patterns_within
from optimiser.solver.known import KnownParts, RecordedParts
from optimiser.solver.lesser_aims import (
    MOST_FOR_DROP,
    SHARE,
    Usable,
    cut_exactly,
    serve_lesser_aims,
)
from optimiser.solver.lesser_bars import reduce_drop_of_bars
from optimiser.solver.memory import Memory
from optimiser.solver.parts import Part, join_points, narrow, narrow_patterns, split, widen
from optimiser.solver.program import (
    Pattern,
    Point,
    Program,
    broken_by,
    cost_of,
)
from optimiser.solver.search import Search
from optimiser.solver.solved import Solved, without_decisions
from optimiser.solver.standing import Report


def solve_program(
    program: Program,
    budget: Budget,
    report: Report | None = None,
    drops: Sequence[int] | None = None,
    *,
    start: Point | None = None,
    memory: Memory | None = None,
    lesser_aims: bool = True,
) -> Solved | None:
    """Return the best point found with a valid bound; `None` where time ran out before one.

    `report` is told the cost so far (`None` while there is none) and the bound so far. `start` is
    a point that is known already; `memory` remembers programs that were solved before. With
    `drops`, the drop that one of each block column adds, the point cuts exactly what is needed,
    and with `lesser_aims` those are served too.

    Raises:
        ProgramInfeasible: the program has no point.
    """
    engine = _Engine(memory, lesser_aims=lesser_aims)
    return engine.solve(program, {}, budget, start=start, report=report, drops=drops, thorough=True)


def complete_choices(program: Program, choices: dict[int, int], budget: Budget) -> Solved | None:
    """Return a good point whose choices are settled; its bound holds for these choices alone.

    Raises:
        ProgramInfeasible: the choices allow no point.
    """
    return _Engine().solve(program, choices, budget, thorough=False)


class _Engine:
    """Solves parts, and remembers those that come up again."""

    def __init__(self, memory: Memory | None = None, *, lesser_aims: bool = True) -> None:
        self.known = KnownParts()
        if memory is not None:
            self.known = RecordedParts(memory.parts) if lesser_aims else memory.parts
        self.memory, self.lesser_aims = memory, lesser_aims

    def solve(
        self,
        program: Program,
        fixed: dict[int, int],
        budget: Budget,
        *,
        thorough: bool,
        start: Point | None = None,
        patterns: Sequence[Pattern] = (),
        report: Report | None = None,
        drops: Sequence[int] | None = None,
    ) -> Solved | None:
        """Return the parts' solution put together; `None` where one has none in time."""
        # Of what comes up on the way the memory knows what was proved, and no more.
        memory, self.memory = self.memory, None
        parts = split(program, fixed)
        sums = None if report is None or fixed else _Sums(parts, report)
        weights = [1 + len(part.program.covers) ** 2 for part in parts]
        solved: list[Solved] = []
        for n, part in enumerate(parts):
            begin = None if start is None else narrow(part, start)
            hint = self.known.recall(part.program, begin)
            if hint.solved is None and memory is not None and not self.lesser_aims:
                hint = memory.look_up(part.program, begin)
            one = hint.solved or without_decisions(part.program)
            if one is None:
                more = narrow_patterns(part, patterns)
                hint = replace(hint, patterns=(*hint.patterns, *more))
                search = Search(
                    part.program,
                    budget.share(weights[n] / sum(weights[n:])),
                    None if sums is None else sums.report_of(n),
                    self.solve,
                    thorough=thorough,
                    hint=hint,
                )
                one = search.run()
                if one is None:
                    return None
                self.known.keep(part.program, one)
                if memory is not None:
                    memory.keep(part.program, one)
                if drops is not None and self.lesser_aims:
                    one = _serve_lesser_aims(search, one, [drops[k] for k in part.columns])
            if drops is not None and not self.lesser_aims:
                one = replace(one, point=cut_exactly(part.program, one.point))
            solved.append(one)
        return _put_together(program, fixed, parts, solved)


class _Sums:
    """Tells of all parts together what the search for each one tells of itself.

    The parts' bounds add up to a bound of the whole; what a part without credits costs is at
    least nothing before its own bound is known. The cost is told where there is one part alone.
    """

    def __init__(self, parts: Sequence[Part], report: Report) -> None:
        self._report = report
        self._bounds = [_least_cost(part.program) for part in parts]

    def report_of(self, part: int) -> Report:
        """Return what the search for one part tells of itself."""

        def report(cost: int | None, bound: int) -> None:
            self._bounds[part] = bound
            known = [one for one in self._bounds if one is not None]
            if len(known) == len(self._bounds):
                self._report(cost if len(known) == 1 else None, sum(known))

        return report


def _least_cost(program: Program) -> int | None:
    below = any(column.cost < 0 for column in program.columns)
    return None if below or any(source.credits for source in program.sources) else 0


def _put_together(
    program: Program, fixed: dict[int, int], parts: Sequence[Part], solved: Sequence[Solved]
) -> Solved | None:
    point = join_points(program, fixed, parts, [one.point for one in solved])
    if broken_by(program, point) is not None:
        return None
    cost = cost_of(program, point)
    order = list(Method)
    return Solved(
        point=point,
        cost=cost,
        bound=cost - sum(one.cost - one.bound for one in solved),
        method=max((one.method for one in solved), key=order.index, default=order[0]),
        patterns=tuple(
            widen(part, pattern)
            for part, one in zip(parts, solved, strict=True)
            for pattern in one.patterns
        ),
        complete=all(one.complete for one in solved),
        drop_proved=all(one.drop_proved for one in solved),
        patterns_proved=all(one.patterns_proved for one in solved),
    )


def _serve_lesser_aims(search: Search, solved: Solved, drops: Sequence[int]) -> Solved:
    """Return the solution with less drop and fewer patterns, where the cost is proved."""
    budget = search.budget
    if not solved.proved or budget.spent():
        return replace(solved, point=cut_exactly(search.program, solved.point))
    limited = search.program
    if search.duals is not None:
        limited = search.limited(search.duals, solved.cost)
    share = budget.share(SHARE)
    least = reduce_drop_of_bars(limited, solved.point, search.patterns, drops, share)
    usable: Usable | None = None
    if least is not None:
        solved = replace(solved, point=least)
    elif search.complete:
        usable = Usable(program=search.program, patterns=search.patterns, complete=True)
    elif search.duals is not None:
        within = patterns_within(search.groups, search.duals, solved.cost, MOST_FOR_DROP)
        if within is not None:
            usable = Usable(program=limited, patterns=within, complete=True)
    served = serve_lesser_aims(
        search.program, solved.point, usable, drops, budget, drop_proved=least is not None
    )
    return replace(
        solved,
        point=served.point,
        drop_proved=served.drop_proved,
        patterns_proved=served.patterns_proved,
    )
