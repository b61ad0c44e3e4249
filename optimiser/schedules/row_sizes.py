"""The size of a row's opening: from a cell for the size, from cells for its sides, or both."""

from optimiser.domain.opening import OpeningKind, SizeOf
from optimiser.schedules.cells import Stated
from optimiser.schedules.fields import ScheduleField
from optimiser.schedules.gathering import Gatherer
from optimiser.schedules.options import PairWidth
from optimiser.schedules.sheet import Row
from optimiser.schedules.sizes import StatedSize, read_side, read_size, settle_size, settle_unequal
from optimiser.schedules.values import ValueFault, with_unit, with_unit_on_sides
from optimiser.units.lengths import LengthUnit, format_length

F = ScheduleField
_Side = tuple[int, tuple[str, ...]]


class SizeReader:
    """Reads the size of each row; faults and notes go to the gatherer."""

    def __init__(self, gatherer: Gatherer, unit: LengthUnit, pair_width: PairWidth) -> None:
        self._gatherer = gatherer
        self._unit = unit
        self._pair_width = pair_width

    def read(self, row: Row) -> StatedSize | None:
        """Return the size that a row states, `None` where it has none or a faulty one."""
        gatherer = self._gatherer
        size = gatherer.take(
            row, F.SIZE, lambda s: read_size(with_unit_on_sides(s.meant, s.unit), self._unit_of(s))
        )
        is_stated = gatherer.cells.read(row, F.SIZE) is not None
        has_sides = any(gatherer.cells.has_column(side) for side in (F.WIDTH, F.HEIGHT))
        width = self._read_side(row, F.WIDTH, required=has_sides and not is_stated)
        height = self._read_side(row, F.HEIGHT, required=has_sides and not is_stated)
        if not is_stated and not has_sides:
            gatherer.miss(row, F.SIZE, "the size, width first")
        if is_stated:
            if size:
                self._compare(row, F.WIDTH, width, size.width_nm)
                self._compare(row, F.HEIGHT, height, size.height_nm)
            return size
        if width is None or height is None:
            return None
        return StatedSize(width_nm=width[0], height_nm=height[0], notes=width[1] + height[1])

    def settle(
        self,
        row: Row,
        size: StatedSize,
        kind: OpeningKind,
        size_of: SizeOf,
        inactive_nm: int | None,
    ) -> StatedSize | None:
        """Return the size as the domain has it, `None` where it does not go with the kind.

        `inactive_nm` is the width of the inactive leaf where the row states one.
        """
        gatherer = self._gatherer
        field = F.SIZE if F.SIZE in gatherer.texts else F.WIDTH
        place = gatherer.cells.place(row, field)
        try:
            if inactive_nm is None:
                settled = settle_size(size, kind, size_of, self._pair_width, self._unit)
            else:
                settled = settle_unequal(
                    size,
                    inactive_nm,
                    kind,
                    size_of=size_of,
                    pair_width=self._pair_width,
                    unit=self._unit,
                )
        except ValueFault as error:
            text = gatherer.texts[field]
            gatherer.add_fault(error.code, place, text, error.problem, error.remedy)
            return None
        known = () if field is F.SIZE else size.notes
        for remark in settled.notes[len(known) :]:
            gatherer.note("size", place, remark)
        return settled

    def _read_side(self, row: Row, field: ScheduleField, *, required: bool) -> _Side | None:
        def parse(stated: Stated) -> _Side:
            text = with_unit(stated.meant, stated.unit)
            side = read_side(text, field, self._unit)
            for remark in side[1]:
                self._gatherer.note("size", stated.place, remark)
            return side

        return self._gatherer.take(row, field, parse, required=f"the {field}" if required else "")

    def _compare(self, row: Row, field: ScheduleField, side: _Side | None, stated_nm: int) -> None:
        if side is not None and side[0] != stated_nm:
            gatherer = self._gatherer
            gatherer.add_fault(
                "size-disagrees",
                gatherer.cells.place(row, field),
                gatherer.texts[field],
                f"does not agree with the size “{gatherer.texts[F.SIZE][:60]}”, which gives "
                f"{format_length(stated_nm, self._unit)}",
                "correct one of them, or leave one blank",
            )

    def _unit_of(self, stated: Stated) -> LengthUnit:
        return LengthUnit(stated.unit) if stated.unit in tuple(LengthUnit) else self._unit
