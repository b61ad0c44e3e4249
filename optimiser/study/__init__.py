"""What-if studies: one order under many changes; see README.md beside this file."""

from optimiser.study.points import Point
from optimiser.study.records import to_records
from optimiser.study.run import run_study

__all__ = ["Point", "run_study", "to_records"]
