"""Typed reasons: why a number is what it is. They are worded in `explain.wording` alone.

Every class has a stable `code` and typed fields; a field whose name ends in `_nm` is a length
in nanometres. `marks` names the openings that a reason speaks of; empty means the whole order.
"""

from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Root of the reasons."""

    code: ClassVar[str] = "reason"
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleFired(Reason):
    """A takeoff rule gave pieces.

    `length_nm` is the sum of `inputs_nm`, divided by `divided_by` and rounded up to a whole
    nanometre. `count` is per opening.
    """

    code: ClassVar[str] = "rule-fired"
    rule_id: str
    statement: str
    source: str
    inputs_nm: tuple[tuple[str, int], ...]
    divided_by: int
    length_nm: int
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice(Reason):
    """Something that the reader should know before ordering; not an error."""

    code: ClassVar[str] = "notice"


@dataclass(frozen=True, slots=True, kw_only=True)
class MeetingStilesByOthers(Notice):
    """The meeting stiles of a pair are not in this order."""

    code: ClassVar[str] = "meeting-stiles-by-others"
    height_nm: int
