"""The purchase program: formulated in whole numbers, solved by PuLP with HiGHS, and proved."""

from optimiser.solver.memory import Memory
from optimiser.solver.order_purchase import foresee, solve_order
from optimiser.solver.program import ProgramInfeasible
from optimiser.solver.purchase import Progress, solve_purchase

__all__ = ["Memory", "ProgramInfeasible", "Progress", "foresee", "solve_order", "solve_purchase"]
