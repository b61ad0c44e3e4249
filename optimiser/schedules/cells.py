"""What a row states for a field: its cell, what is carried down to it, or a default."""

from collections.abc import Mapping
from dataclasses import dataclass

from optimiser.schedules.columns import ColumnUse
from optimiser.schedules.faults import Place
from optimiser.schedules.fields import KEPT_AS_TEXT, ScheduleField
from optimiser.schedules.options import ReadingOptions
from optimiser.schedules.sheet import Row
from optimiser.schedules.values import BLANK_WORDS, DITTO_WORDS

Defaults = Mapping[ScheduleField, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """A text and where it stands. `meant` is the text with the schedule's own words put right.

    `trouble` is the code, the problem and the remedy of a text that cannot be used at all.
    """

    text: str
    meant: str
    place: Place
    unit: str | None = None
    trouble: tuple[str, str, str] | None = None
    carried_from: int | None = None


class CellReader:
    """Finds what each row states; remembers the row above, for ditto marks and blank cells."""

    def __init__(
        self, uses: dict[int, ColumnUse], defaults: Defaults, options: ReadingOptions
    ) -> None:
        self._uses = uses
        self._columns = {use.field: column for column, use in reversed(uses.items())}
        self._defaults = defaults
        self._carried = options.carry_down
        self._words = {
            field: {_fold(word): meant for word, meant in words.items()}
            for field, words in options.words.items()
        }
        self._above: dict[ScheduleField, str] = {}

    def has_column(self, field: ScheduleField) -> bool:
        """Return whether a column states the field."""
        return field in self._columns

    def place(self, row: Row, field: ScheduleField) -> Place:
        """Return the cell of a field in a row; the row alone where no column states the field."""
        if field not in self._columns:
            return Place(row=row.number)
        return self._place(row, self._columns[field])

    def read(self, row: Row, field: ScheduleField, *, default: bool = True) -> Stated | None:
        """Return what a row states for a field; `None` where it states nothing."""
        if field in self._columns:
            stated = self._read_cell(row, field)
            if stated:
                return stated
        text = self._defaults.get(field, "").strip()
        if not default or not text:
            return None
        return Stated(text=text, meant=self._mean(field, text), place=Place(default=field))

    def kept_texts(self, row: Row) -> list[tuple[str, str]]:
        """Return the texts of a row that are handed through, each with what leads it."""
        texts = []
        for column, use in self._uses.items():
            text = row.text(column)
            if use.field in KEPT_AS_TEXT and text and _fold(text) not in BLANK_WORDS:
                texts.append((KEPT_AS_TEXT[use.field], text))
        return texts

    def _read_cell(self, row: Row, field: ScheduleField) -> Stated | None:
        column = self._columns[field]
        use, cell = self._uses[column], row.cells.get(column)
        place = self._place(row, column)
        text = cell.text if cell else ""
        trouble = cell.trouble if cell else None
        shown = text
        if _fold(text) in BLANK_WORDS:
            text = ""
        elif _fold(text) in DITTO_WORDS or (not text and field in self._carried):
            above = self._above.get(field, "")
            if text and not above:
                trouble = (
                    "ditto-without-value",
                    "repeats the cell above, which is blank",
                    "write the value",
                )
            else:
                text = shown = above
        if not trouble:
            self._above[field] = text
        if not text:
            return None
        return Stated(
            text=shown,
            meant=self._mean(field, text),
            place=place,
            unit=use.unit,
            trouble=trouble,
            carried_from=cell.carried_from if cell else None,
        )

    def _mean(self, field: ScheduleField, text: str) -> str:
        return self._words.get(field, {}).get(_fold(text), text)

    def _place(self, row: Row, column: int) -> Place:
        use = self._uses[column]
        return Place(row=row.number, column=use.letter, header=use.header or None)


def _fold(text: str) -> str:
    return " ".join(text.casefold().split())
