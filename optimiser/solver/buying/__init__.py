"""The program of an order whose terms of buying go beyond prices and multiples."""

from optimiser.solver.buying.formulate import BuyingFormulation, formulate_buying
from optimiser.solver.buying.read import read_buying

__all__ = ["BuyingFormulation", "formulate_buying", "read_buying"]
