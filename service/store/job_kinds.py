"""The kinds of jobs."""

from enum import StrEnum


class JobKind(StrEnum):
    """What a job makes."""

    PLAN = "plan"
    STUDY = "study"
