"""Door and window schedules as people have them, CSV or XLSX, to openings. Bytes in, no files."""

from optimiser.schedules.faults import Place, ScheduleFault, ScheduleNote
from optimiser.schedules.fields import ScheduleField
from optimiser.schedules.options import NO_HEADER, PairWidth, ReadingOptions, ScheduleFormat
from optimiser.schedules.read_schedule import read_schedule
from optimiser.schedules.reading import ColumnRead, ScheduleReading, ScheduleRow, SkippedRows
from optimiser.schedules.report import write_report

__all__ = [
    "NO_HEADER",
    "ColumnRead",
    "PairWidth",
    "Place",
    "ReadingOptions",
    "ScheduleFault",
    "ScheduleField",
    "ScheduleFormat",
    "ScheduleNote",
    "ScheduleReading",
    "ScheduleRow",
    "SkippedRows",
    "read_schedule",
    "write_report",
]
