"""The program of an order whose terms of buying go beyond prices and multiples."""

from optimiser.solver.buying.formulate import BuyingFormulation, formulate_buying
from optimiser.solver.buying.plain_plan import find_plain_point
from optimiser.solver.buying.read import read_buying

__all__ = ["BuyingFormulation", "find_plain_point", "formulate_buying", "read_buying"]
