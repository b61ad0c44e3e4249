"""A plan as the solver decided it, kept as JSON, and the plan made of it again without a solver."""

from dataclasses import dataclass

from pydantic import TypeAdapter

from optimiser.domain.decision import Solution
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.planning.assemble import assemble_plan
from optimiser.rule_sets import RuleSet
from optimiser.takeoff import take_off
from service.jobs.settled import read_kept_request
from service.wire import limits


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A plan that was made, with the order that it is of and that order's own rule sets."""

    order: Order
    rule_sets: tuple[RuleSet, ...]
    plan: Plan
    request: bytes
    """The order as it is kept, as JSON."""


_SOLUTION = TypeAdapter(Solution)


def write_solution(plan: Plan) -> str:
    """Return what the solver decided, and how far it is proved, as JSON."""
    solution = Solution(decision=plan.decision, certificate=plan.certificate)
    return _SOLUTION.dump_json(solution).decode()


def rebuild_plan(request: bytes, solution: bytes) -> Planned:
    """Return the plan of a kept request, with its order.

    The plan has no alternatives, reasons, notices and cautions: those are in its document.
    """
    read = read_kept_request(request)
    takeoff = take_off(read.order, rule_sets=read.rule_sets, most_lengths=limits.PIECE_LENGTHS)
    decided = _SOLUTION.validate_json(solution)
    return Planned(
        order=read.order,
        rule_sets=read.rule_sets,
        plan=assemble_plan(read.order, takeoff, decided),
        request=request,
    )
