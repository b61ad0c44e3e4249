"""Comparing the totals that a schedule states with the openings that were read."""

from collections.abc import Callable

from optimiser.schedules.columns import ColumnUse
from optimiser.schedules.faults import Place
from optimiser.schedules.fields import ScheduleField
from optimiser.schedules.sheet import Row
from optimiser.schedules.values import ValueFault, read_count


class Totals:
    """Adds up quantities, over all rows and since the last total; notes a total that differs."""

    def __init__(self, uses: dict[int, ColumnUse], note: Callable[[str, Place, str], None]) -> None:
        self._columns = [c for c, use in uses.items() if use.field is ScheduleField.QUANTITY]
        self._note = note
        self._all = self._since_last = 0

    def add(self, quantity: int) -> None:
        """Add the openings of a row."""
        self._all += quantity
        self._since_last += quantity

    def compare(self, row: Row) -> None:
        """Note where the total that a row states is neither of the two sums."""
        columns = [column for column in self._columns if column in row.cells] or list(row.cells)
        stated = {}
        for column in columns:
            try:
                stated[column] = read_count(row.text(column))
            except ValueFault:
                continue
        if len(stated) == 1 and not set(stated.values()) & {self._all, self._since_last}:
            (count,) = stated.values()
            self._note(
                "total-differs",
                Place(row=row.number),
                f"the total is {count:,}, and the rows above add up to {self._all:,} openings; "
                "check that none is missing.",
            )
        self._since_last = 0
