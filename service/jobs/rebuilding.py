"""A plan as the solver decided it, kept as JSON, and the plan made of it again without a solver."""

from pydantic import TypeAdapter

from optimiser.domain.decision import Solution
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.domain.takeoff import Takeoff
from optimiser.planning.assemble import assemble_plan
from optimiser.takeoff import take_off
from service.mapping.reading import read_request
from service.wire import limits
from service.wire.order import Order as WireOrder

_SOLUTION = TypeAdapter(Solution)


def write_solution(plan: Plan) -> str:
    """Return what the solver decided, and how far it is proved, as JSON."""
    solution = Solution(decision=plan.decision, certificate=plan.certificate)
    return _SOLUTION.dump_json(solution).decode()


def rebuild_plan(request: bytes, solution: bytes) -> tuple[Order, Takeoff, Plan]:
    """Return the order that a kept request states, its takeoff, and its plan.

    The plan has no alternatives, reasons, notices and cautions: those are in its document.
    """
    read = read_request(request, WireOrder)
    takeoff = take_off(read.order, rule_sets=read.rule_sets, most_lengths=limits.PIECE_LENGTHS)
    decided = _SOLUTION.validate_json(solution)
    return read.order, takeoff, assemble_plan(read.order, takeoff, decided)
