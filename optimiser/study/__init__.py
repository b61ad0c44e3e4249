"""What-if studies: one order under many changes; see README.md beside this file."""

from optimiser.study.break_even import NumberAxis, find_break_evens
from optimiser.study.points import Point
from optimiser.study.ranking import Input, rank_inputs
from optimiser.study.records import to_records
from optimiser.study.run import run_study
from optimiser.study.solve_points import PointSolver

__all__ = [
    "Input",
    "NumberAxis",
    "Point",
    "PointSolver",
    "find_break_evens",
    "rank_inputs",
    "run_study",
    "to_records",
]
