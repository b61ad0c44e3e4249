"""Branching on decisive columns: switches of fixed charges, price levels and tiers.

Between zero and one such a switch makes the relaxation cheap: half a bar needs half a shipment.
The engine proves a program whose patterns can all be listed; for any other its bound may stay
below the cost. Then the switches are branched on, best bound first: at each node the
relaxation is solved again by column generation, hot, with some of them fixed, and a node whose
switches are all whole is solved by the engine as a program of its own. Pricing is untouched:
fixing a switch changes no pattern. The bound of the whole is the least over the open nodes.

References: A. H. Land, A. G. Doig, "An automatic method of solving discrete programming
problems", Econometrica 28 (1960) 497-520.
"""

import heapq
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from optimiser.domain.decision import Method
from optimiser.solver.budget import Budget
from optimiser.solver.column_generation import generate_columns, starting_patterns
from optimiser.solver.engine import solve_program
from optimiser.solver.enumeration import all_patterns
from optimiser.solver.idle_rows import drop_idle_rows
from optimiser.solver.integer_program import solve_over
from optimiser.solver.last_resorts import close_gap, solve_without_credit
from optimiser.solver.master import Master
from optimiser.solver.program import Program, ProgramInfeasible
from optimiser.solver.solved import Solved
from optimiser.solver.stock import group_sources

MOST_NODES = 400
WHOLE = 1e-6
ROOT_SHARE, LISTED_SHARE = 0.3, 0.5
MOST_LISTED, LISTED_NODES = 8_000, 20_000

Report = Callable[[int | None, int], None]


@dataclass(order=True, slots=True)
class _Node:
    """Switches fixed so far, and a bound on every plan that has them so."""

    bound: int
    number: int
    fixed: dict[int, int] = field(compare=False)


def solve_by_branching(program: Program, budget: Budget, report: Report) -> Solved | None:
    """Return the best point found with a valid bound; `None` where time ran out before one.

    Raises:
        ProgramInfeasible: the program has no point.
    """
    decisive = [k for k, column in enumerate(program.columns) if column.decisive]
    root = solve_program(drop_idle_rows(program), budget.share(ROOT_SHARE), report)
    if root is not None and root.proved:
        return root
    listed = _solve_listed(program, budget, root)
    if listed is not None and not listed.proved and any(s.credits for s in program.sources):
        listed = solve_without_credit(program, listed, budget.share(ROOT_SHARE))
        if not decisive:
            listed = close_gap(program, listed, budget)
    if not decisive or (listed is not None and listed.proved):
        return listed
    return _Tree(program, decisive, budget, report, listed).search()


def _solve_listed(program: Program, budget: Budget, root: Solved | None) -> Solved | None:
    """Return the best over all patterns, where they can be listed, or the root as it is.

    Small programs with high fixed charges, or few bars, leave so wide a gap that listing every
    pattern is the shortest way.
    """
    every = all_patterns(group_sources(program), MOST_LISTED)
    if every is None:
        return root
    result = solve_over(
        program,
        every,
        incumbent=root.point if root is not None else None,
        target=root.bound if root is not None else None,
        seconds=budget.share(LISTED_SHARE).seconds_left,
        nodes=LISTED_NODES,
    )
    if result.bound is None:
        raise ProgramInfeasible
    if result.point is None:
        return root
    if root is not None and root.cost <= result.cost:
        return replace(root, bound=min(root.cost, max(root.bound, result.bound)))
    return Solved(
        point=result.point,
        cost=result.cost,
        bound=min(result.cost, max(result.bound, root.bound if root else result.bound)),
        method=Method.ALL_PATTERNS,
        patterns=tuple(every),
        complete=True,
    )


class _Tree:
    def __init__(
        self,
        program: Program,
        decisive: list[int],
        budget: Budget,
        report: Report,
        root: Solved | None,
    ) -> None:
        self.program, self.decisive, self.budget, self.report = program, decisive, budget, report
        self.best = root
        self.floor = root.bound if root is not None else None
        self.settled: list[int] = []
        self.master = Master(program)
        self.groups = group_sources(program)
        self.master.add(starting_patterns(self.groups))
        self.number = self.pushed = 0

    def search(self) -> Solved | None:
        """Return the best of the tree, with the least bound over what is left open."""
        nodes = [_Node(self.floor if self.floor is not None else -(1 << 62), 0, {})]
        while nodes and self.number < MOST_NODES and not self.budget.spent():
            node = heapq.heappop(nodes)
            if self.best is not None and node.bound >= self.best.cost:
                continue
            self._explore(node, nodes)
            self._tell(nodes)
        return self._conclude(nodes)

    def _explore(self, node: _Node, nodes: list[_Node]) -> None:
        self.number += 1
        program = fix_columns(self.program, node.fixed)
        self._set_limits(program)
        generated = generate_columns(
            self.master, self.groups, stop=self.budget.spent, round_up=False
        )
        if generated is None and self.master.infeasible:
            return
        if generated is None:
            # No relaxation, no branching: the node is handed to the engine as it is.
            self._settle(program, node.bound)
            return
        if generated.converged and generated.relaxed.short > WHOLE:
            return
        bound = max(node.bound, generated.bound.whole)
        if self.best is not None and bound >= self.best.cost:
            return
        block = generated.relaxed.block
        open_switches = [k for k in self.decisive if k not in node.fixed]
        undecided = [k for k in open_switches if abs(block[k] - round(block[k])) > WHOLE]
        if not undecided:
            whole = {k: round(block[k]) for k in open_switches}
            self._branch_off(node, bound, whole, nodes)
            return
        # The switch nearest to the middle says the most; ties go to the first.
        k = min(undecided, key=lambda k: (abs(block[k] - 0.5), k))
        for value in (round(block[k]), 1 - round(block[k])):
            self._push(nodes, bound, {**node.fixed, k: value})

    def _branch_off(
        self, node: _Node, bound: int, whole: Mapping[int, int], nodes: list[_Node]
    ) -> None:
        """Settle the node with its switches as the relaxation has them, and open the rest."""
        self._settle(drop_idle_rows(fix_columns(self.program, {**node.fixed, **whole})), bound)
        fixed = dict(node.fixed)
        for k, value in whole.items():
            if self.program.columns[k].upper > self.program.columns[k].lower:
                self._push(nodes, bound, {**fixed, k: 1 - value})
            fixed[k] = value

    def _push(self, nodes: list[_Node], bound: int, fixed: dict[int, int]) -> None:
        self.pushed += 1
        heapq.heappush(nodes, _Node(bound, self.pushed, fixed))

    def _settle(self, program: Program, bound: int) -> None:
        try:
            solved = solve_program(program, self.budget.share(0.5))
        except ProgramInfeasible:
            return
        if solved is None:
            self.settled.append(bound)
            return
        if self.best is None or solved.cost < self.best.cost:
            self.best = solved
        self.settled.append(max(bound, solved.bound))

    def _set_limits(self, program: Program) -> None:
        self.master.program = program
        positions = self.decisive
        self.master.bound_columns(
            positions,
            [program.columns[k].lower for k in positions],
            [program.columns[k].upper for k in positions],
        )

    def _bound(self, nodes: list[_Node]) -> int | None:
        if self.best is None:
            return None
        lowest = min([self.best.cost, *(n.bound for n in nodes), *self.settled])
        return lowest if self.floor is None else max(lowest, self.floor)

    def _tell(self, nodes: list[_Node]) -> None:
        bound = self._bound(nodes)
        if self.best is not None and bound is not None:
            self.report(self.best.cost, bound)

    def _conclude(self, nodes: list[_Node]) -> Solved | None:
        if self.best is None:
            if not nodes and not self.settled:
                raise ProgramInfeasible
            return None
        bound = self._bound(nodes)
        return replace(self.best, bound=self.best.cost if bound is None else bound)


def fix_columns(program: Program, fixed: Mapping[int, int]) -> Program:
    """Return the program with some columns fixed."""
    columns = list(program.columns)
    for k, value in fixed.items():
        columns[k] = replace(columns[k], lower=value, upper=value)
    return replace(program, columns=tuple(columns))
