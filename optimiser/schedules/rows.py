"""From a row to its openings: every fault of the row is gathered, none hides another."""

from dataclasses import replace
from typing import Any, Final

from optimiser.domain.opening import OPTIONS, Opening, OpeningKind, SizeOf
from optimiser.schedules import limits
from optimiser.schedules.cells import Stated
from optimiser.schedules.faults import Place
from optimiser.schedules.fields import ScheduleField
from optimiser.schedules.gathering import Gatherer
from optimiser.schedules.marks import MarkError, Marks, read_marks
from optimiser.schedules.options import ReadingOptions
from optimiser.schedules.reading import ScheduleRow
from optimiser.schedules.row_sizes import SizeReader
from optimiser.schedules.sheet import Row
from optimiser.schedules.sizes import StatedSize
from optimiser.schedules.values import (
    ValueFault,
    read_choice,
    read_count,
    read_length_above_zero,
    read_name,
    read_opening_kind,
    read_remarks,
    read_rule_set,
    read_rule_sets,
    read_spacing,
    with_unit,
)
from optimiser.units.lengths import LengthUnit

F = ScheduleField

_DOORS: Final = frozenset(
    {OpeningKind.SINGLE_DOOR, OpeningKind.PAIR_OF_DOORS, OpeningKind.DUTCH_DOOR}
)
_DOUBLE_HUNG: Final = frozenset({OpeningKind.DOUBLE_HUNG_WINDOW})
_DEFAULT_IS_FOR: Final = {
    F.MEETING_STILES: frozenset({OpeningKind.PAIR_OF_DOORS}),
    F.INACTIVE_LEAF_WIDTH: frozenset({OpeningKind.PAIR_OF_DOORS}),
    F.THRESHOLD: _DOORS,
    F.SASH_CORDS: _DOUBLE_HUNG,
    F.SIDE_STRIPS: _DOUBLE_HUNG,
    F.LOWER_HEIGHT: _DOUBLE_HUNG | {OpeningKind.DUTCH_DOOR},
}
"""The kinds that a default is for: one for doors is not meant for windows beside them."""


def _takes(kind: OpeningKind | None, field: ScheduleField) -> bool:
    return kind in _DEFAULT_IS_FOR[field]


class RowReader:
    """Reads row after row; faults and notes go to the gatherer."""

    def __init__(
        self,
        gatherer: Gatherer,
        *,
        unit: LengthUnit,
        size_of: SizeOf | None,
        options: ReadingOptions,
    ) -> None:
        self._gatherer = gatherer
        self._sizes = SizeReader(gatherer, unit, options.pair_width)
        self._unit = unit
        self._size_of = size_of
        self._rule_sets = options.rule_sets
        self._first_row_of: dict[str, int] = {}
        self._openings = 0

    def read(self, row: Row) -> tuple[ScheduleRow, tuple[Opening, ...]] | None:
        """Return the openings that a row states, `None` where it has a fault."""
        gatherer = self._gatherer
        gatherer.begin_row()
        quantity = self._read_quantity(row)
        marks = self._read_marks(row, quantity)
        size = self._sizes.read(row)
        kind = self._read_kind(row, size)
        size_of = gatherer.take(row, F.SIZE_OF, lambda s: read_choice(s.meant, SizeOf))
        size_of = size_of or self._size_of or SizeOf.OPENING
        inactive_nm = gatherer.take(
            row,
            F.INACTIVE_LEAF_WIDTH,
            self._parse_length,
            default=_takes(kind, F.INACTIVE_LEAF_WIDTH),
        )
        if size and kind:
            size = self._sizes.settle(row, size, kind, size_of, inactive_nm)
        finish = gatherer.take(row, F.FINISH, lambda s: read_name(s.meant), required="the finish")
        rule_set = gatherer.take(row, F.RULE_SET, lambda s: read_rule_set(s.meant, self._rule_sets))
        spacing_nm = gatherer.take(row, F.FASTENER_SPACING, self._parse_spacing)
        also = gatherer.take(row, F.ALSO, lambda s: read_rule_sets(s.meant, self._rule_sets))
        lower_nm = gatherer.take(
            row, F.LOWER_HEIGHT, self._parse_length, default=_takes(kind, F.LOWER_HEIGHT)
        )
        chosen = self._read_options(row, kind)
        remarks = self._read_remarks(row)
        if gatherer.row_is_faulty or not (marks and size and kind and finish):
            return None
        opening = Opening(
            mark=marks.marks[0],
            kind=kind,
            width_nm=size.width_nm,
            height_nm=size.height_nm,
            size_of=size_of,
            quantity=1 if len(marks.marks) > 1 else quantity or 1,
            finish=finish,
            fastener_spacing_nm=spacing_nm,
            lower_height_nm=lower_nm,
            inactive_leaf_width_nm=inactive_nm,
            also=also or (),
            remarks=remarks,
            notes=size.notes,
        )
        if rule_set:
            chosen["rule_set"] = rule_set
        opening = replace(opening, **chosen)
        openings = tuple(replace(opening, mark=mark) for mark in marks.marks)
        values = tuple(gatherer.texts.items())
        return ScheduleRow(row=row.number, marks=marks.marks, values=values), openings

    def _read_quantity(self, row: Row) -> int | None:
        def parse(stated: Stated) -> int:
            if stated.carried_from is not None:
                raise ValueFault(
                    "quantity-merged",
                    f"is of a merged cell that begins in row {stated.carried_from}, and may be "
                    "meant for each row or for all",
                    "write the quantity in each row",
                )
            return read_count(stated.meant)

        quantity = self._gatherer.take(row, F.QUANTITY, parse)
        before, self._openings = self._openings, self._openings + (quantity or 1)
        if before <= limits.OPENINGS < self._openings:
            self._gatherer.add_fault(
                "too-many-openings",
                self._gatherer.cells.place(row, F.QUANTITY),
                None,
                f"the quantities add up to more than {limits.OPENINGS:,} with this row",
                "split the schedule",
            )
        return quantity

    def _read_marks(self, row: Row, quantity: int | None) -> Marks | None:
        def parse(stated: Stated) -> Marks:
            if stated.carried_from is not None:
                raise MarkError(
                    "mark-merged",
                    f"is of a merged cell that begins in row {stated.carried_from}",
                    "give each row a mark of its own",
                )
            marks = read_marks(stated.meant, quantity)
            for mark in marks.marks:
                read_name(mark)
            return marks

        marks = self._gatherer.take(row, F.MARK, parse, required="the mark")
        if marks is not None:
            place = self._gatherer.cells.place(row, F.MARK)
            if marks.remark:
                text = self._gatherer.texts[F.MARK]
                self._gatherer.note("range-taken", place, f"“{text[:60]}” {marks.remark}.")
            self._compare_quantity(row, marks, quantity)
            self._refuse_known(row, place, marks)
        return marks

    def _compare_quantity(self, row: Row, marks: Marks, quantity: int | None) -> None:
        gatherer, count = self._gatherer, len(marks.marks)
        place = gatherer.cells.place(row, F.QUANTITY)
        if count > 1 and quantity not in (None, count):
            gatherer.add_fault(
                "quantity-disagrees",
                place,
                gatherer.texts[F.QUANTITY],
                f"does not agree with the {count} marks from {marks.marks[0]} to {marks.marks[-1]}",
                f"write {count}, leave it blank, or correct the marks",
            )
        blank = gatherer.cells.read(row, F.QUANTITY) is None
        if count == 1 and blank and gatherer.cells.has_column(F.QUANTITY):
            gatherer.note("quantity-taken", place, "the quantity is blank and was read as 1.")

    def _refuse_known(self, row: Row, place: Place, marks: Marks) -> None:
        """Keep a fault for marks that an earlier row has."""
        known = [mark for mark in marks.marks if mark in self._first_row_of]
        for mark in marks.marks:
            self._first_row_of.setdefault(mark, row.number)
        if known:
            first = self._first_row_of[known[0]]
            self._gatherer.add_fault(
                "mark-twice",
                place,
                self._gatherer.texts[F.MARK],
                f"has {known[0]}, which is a mark of row {first} as well",
                "give each row marks of its own, or add the quantities",
            )

    def _read_kind(self, row: Row, size: StatedSize | None) -> OpeningKind | None:
        implied = size is not None and size.is_pair
        if implied and self._gatherer.cells.read(row, F.KIND, default=False) is None:
            return OpeningKind.PAIR_OF_DOORS
        return self._gatherer.take(
            row, F.KIND, lambda s: read_opening_kind(s.meant), required="the kind of opening"
        )

    def _read_options(self, row: Row, kind: OpeningKind | None) -> dict[str, Any]:
        """Return the options that a row chooses, by the names of the domain's fields."""
        chosen: dict[str, Any] = {}
        for name, choices in OPTIONS.items():
            field = F(name)
            choice = self._gatherer.take(
                row,
                field,
                lambda s, choices=choices: read_choice(s.meant, choices),  # type: ignore[misc]
                default=_takes(kind, field),
            )
            if choice is not None:
                chosen[name] = choice
        return chosen

    def _parse_length(self, stated: Stated) -> int:
        return read_length_above_zero(with_unit(stated.meant, stated.unit), self._unit)

    def _parse_spacing(self, stated: Stated) -> int:
        return read_spacing(with_unit(stated.meant, stated.unit), self._unit)

    def _read_remarks(self, row: Row) -> str:
        texts = self._gatherer.cells.kept_texts(row)
        own = [text for lead, text in texts if not lead]
        led = [f"{lead}: {text}" for lead, text in texts if lead]
        joined = "; ".join(own + led)
        try:
            remarks = read_remarks(joined)
        except ValueFault as error:
            place = self._gatherer.cells.place(row, F.REMARKS)
            self._gatherer.add_fault(error.code, place, joined, error.problem, error.remedy)
            return ""
        if remarks:
            self._gatherer.texts[F.REMARKS] = remarks
        return remarks
