"""A publication as lists of plain values, as spreadsheets and programs take them.

Tables are lists as they stand; points of charts, spans of bars, labels and what is said in
sentences become lists of their own, so that no block is lost.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import count
from typing import Final

from optimiser.domain.publication import (
    BarDiagram,
    Bullets,
    CautionBlock,
    Cell,
    Chart,
    Column,
    ColumnKind,
    Edition,
    Heading,
    LabelSheet,
    LengthsShown,
    Paragraph,
    PartOf,
    Publication,
    Row,
    Table,
)
from optimiser.explain.document_words import word
from optimiser.units.lengths import NM_PER_INCH, NM_PER_MILLIMETRE, LengthUnit
from optimiser.units.money import minor_digits

Value = str | int | Decimal | date | None
"""What a list holds: a length is a number of its column's unit."""

_NM_PER: Final = {LengthUnit.INCH: NM_PER_INCH, LengthUnit.MILLIMETRE: NM_PER_MILLIMETRE}
_SHOWN: Final = {
    LengthsShown.INCHES: (LengthUnit.INCH,),
    LengthsShown.MILLIMETRES: (LengthUnit.MILLIMETRE,),
    LengthsShown.BOTH: (LengthUnit.INCH, LengthUnit.MILLIMETRE),
}
_EXACT: Final = Decimal("1E-9")
"""To what an inch is written: a nanometre is 39 times as much, so each has its own number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListColumn:
    """A column of a list: that of its table at `place`; a length is in `unit`."""

    place: int
    source: Column
    unit: LengthUnit | None = None

    @property
    def heading(self) -> str:
        """Return what people read above the column, with the unit of its lengths."""
        return f"{self.source.heading}, {self.unit}" if self.unit else self.source.heading

    @property
    def name(self) -> str:
        """Return the stable name with what its numbers are in: `amount-usd`, `length-mm`."""
        measure = self.unit or self.source.currency.lower()
        return f"{self.source.name}-{measure}" if measure else self.source.name

    def value(self, row: Row) -> Value:
        """Return what a row has in the column; money with the digits of its currency at least."""
        cell = row[self.place]
        if self.source.kind is ColumnKind.MONEY and isinstance(cell, Decimal):
            decimals = max(minor_digits(self.source.currency), _decimals(cell))
            return Decimal(f"{cell:.{decimals}f}")
        if self.unit is None or not isinstance(cell, int):
            return cell
        return in_unit(cell, self.unit)


def _decimals(number: Decimal) -> int:
    return len(f"{number:f}".partition(".")[2])


def in_unit(length_nm: int, unit: LengthUnit) -> Decimal:
    """Return a length as a number of its unit, to 9 decimals, which tell every nanometre apart."""
    number = (Decimal(length_nm) / _NM_PER[unit]).quantize(_EXACT)
    return Decimal(f"{number:f}".rstrip("0").rstrip("."))


def columns_of(table: Table, edition: Edition) -> tuple[ListColumn, ...]:
    """Return the columns of a table as a list: a length has one for each unit that is shown."""
    return tuple(
        ListColumn(place=place, source=column, unit=unit)
        for place, column in enumerate(table.columns)
        for unit in (_SHOWN[edition.lengths] if column.kind is ColumnKind.LENGTH else (None,))
    )


def lists_of(publication: Publication) -> tuple[Table, ...]:
    """Return every list of a publication, in the order of its blocks, sentences last.

    No two have one name.
    """
    lists: dict[str, Table] = {}
    for table in _lists(publication):
        name = next(name for name in _names(table.name) if name not in lists)
        lists[name] = replace(table, name=name)
    return tuple(lists.values())


def _names(name: str) -> Iterator[str]:
    yield name
    yield from (f"{name}-{number}" for number in count(2))


def _lists(publication: Publication) -> Iterator[Table]:
    """Yield the lists; one that is read in parts is whole, where its first part stands."""
    whole: dict[str, list[Table]] = {}
    for table in publication.tables:
        if table.part_of is not None:
            whole.setdefault(table.part_of.name, []).append(table)
    for block in publication.blocks:
        match block:
            case Table(part_of=PartOf(name=name)):
                if parts := whole.pop(name, None):
                    yield _join(parts)
            case Table():
                yield block
            case Chart():
                yield _points(block, publication)
    for each in (_bars, _labels, _notes):
        table = each(publication)
        if table.rows:
            yield table


def _join(parts: list[Table]) -> Table:
    """Return the parts of a list as one; sums of parts are left out, so that rows can be summed."""
    known = [(table, table.part_of) for table in parts if table.part_of is not None]
    first, of = known[0]
    return Table(
        name=of.name,
        caption=of.caption,
        columns=(of.column, *first.columns),
        rows=tuple((part.part, *row) for table, part in known for row in table.rows),
    )


def _points(chart: Chart, publication: Publication) -> Table:
    remarks = dict(chart.marked)
    remark = Column(name="remark", heading=word("forms.remark", publication.language))
    known = {across for across, _ in chart.points}
    rows = [(across, measure, remarks.get(across)) for across, measure in chart.points]
    rows += [(at, None, text) for at, text in chart.marked if at not in known]
    columns = (chart.across, chart.measure, remark)[: 3 if remarks else 2]
    return Table(
        name=chart.name,
        caption=chart.caption,
        columns=columns,
        rows=tuple(row[: len(columns)] for row in rows),
    )


def _bars(publication: Publication) -> Table:
    language = publication.language
    columns = (
        Column(name="bar", heading=word("forms.bar", language)),
        Column(name="span", heading=word("forms.span", language)),
        Column(name="from", heading=word("forms.from", language), kind=ColumnKind.LENGTH),
        Column(name="to", heading=word("forms.to", language), kind=ColumnKind.LENGTH),
        Column(name="length", heading=word("forms.length", language), kind=ColumnKind.LENGTH),
    )
    rows = (
        (
            block.caption,
            word(f"forms.span-{span.kind}", language),
            span.start_nm,
            span.end_nm,
            span.length_nm,
        )
        for block in publication.blocks
        if isinstance(block, BarDiagram)
        for span in block.spans
    )
    return Table(
        name="bars", caption=word("forms.bars", language), columns=columns, rows=tuple(rows)
    )


def _labels(publication: Publication) -> Table:
    language = publication.language
    labels = [
        label
        for block in publication.blocks
        if isinstance(block, LabelSheet)
        for label in block.labels
    ]
    longest = max((len(label.lines) for label in labels), default=0)
    lines = tuple(
        Column(name=f"line-{number}", heading=word("forms.line", language, number=str(number)))
        for number in range(1, longest + 1)
    )
    copies = Column(name="copies", heading=word("forms.copies-of", language), kind=ColumnKind.COUNT)
    rows: Iterator[Row] = (
        (label.copies, *label.lines, *(None,) * (longest - len(label.lines))) for label in labels
    )
    return Table(
        name="labels",
        caption=word("forms.labels", language),
        columns=(copies, *lines),
        rows=tuple(rows),
    )


def _notes(publication: Publication) -> Table:
    """Return what is said in sentences, each with the heading that it stands under."""
    language = publication.language
    columns = tuple(
        Column(name=name, heading=word(f"forms.{name}-of-note", language))
        for name in ("under", "note", "source")
    )
    table = Table(
        name="notes",
        caption=word("forms.notes", language),
        columns=columns,
        rows=tuple(_said(publication)),
    )
    if any(row[2] for row in table.rows):
        return table
    return replace(table, columns=columns[:2], rows=tuple(row[:2] for row in table.rows))


def _said(publication: Publication) -> Iterator[tuple[Cell, Cell, Cell]]:
    under = publication.title
    for block in publication.blocks:
        match block:
            case Heading():
                under = block.text
            case Paragraph():
                yield under, block.text, None
            case Bullets():
                yield from ((under, item, None) for item in block.items)
            case CautionBlock():
                yield from ((block.heading, text, source) for text, source in block.cautions)
