"""On site: what to measure, what two readings say, what a weighed sample of fasteners gives."""

from optimiser.field.measurements import list_measurements
from optimiser.field.readings import check_readings
from optimiser.field.weighing import calibrate_pack

__all__ = ["calibrate_pack", "check_readings", "list_measurements"]
