"""Charts as drawings: bars by name, shares of a whole, a line over numbers. Black on white."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Final
from xml.etree import ElementTree as ET

from optimiser.domain.publication import Cell, Chart, ChartKind, Column, ColumnKind, Edition
from optimiser.publishing.figures import write_cell, write_money, write_percent
from optimiser.publishing.forms.html_text import add
from optimiser.publishing.forms.svg import (
    FONT,
    INK,
    WIDTH,
    Place,
    add_box,
    add_hatching,
    add_line,
    add_text,
    begin_drawing,
    width_of,
    write_place,
)
from optimiser.units.lengths import NM_PER_INCH

ROW: Final = 26
THICK: Final = 14
MOST_FOR_NAMES: Final = 260
PLOT_HEIGHT: Final = 240
TICKS: Final = 5


def draw_chart(chart: Chart, edition: Edition) -> ET.Element:
    """Return the drawing of a chart; a point without a number is named and left open."""
    if chart.kind is ChartKind.LINE:
        return _draw_line(chart, edition)
    return _draw_bars(chart, edition)


def _number(cell: Cell) -> Fraction | None:
    """Return the number in a cell; `None` where it is empty, a remark or a day."""
    return Fraction(cell) if isinstance(cell, int | Decimal) else None


def _draw_bars(chart: Chart, edition: Edition) -> ET.Element:
    """Return a bar for each point, from zero; below zero it goes to the left."""
    names = [write_cell(across, chart.across, edition) for across, _ in chart.points]
    values = [_number(measure) for _, measure in chart.points]
    told = list(_tell(chart, values, edition))
    widest = max((width_of(name) for name in names), default=Fraction(0))
    left = min(widest, Fraction(MOST_FOR_NAMES)) + 10
    right = max((width_of(text) for text in told), default=Fraction(0)) + 8
    known = [value for value in values if value is not None]
    low, high = min([Fraction(0), *known]), max([Fraction(0), *known])
    below = right if low < 0 else Fraction(0)
    room = WIDTH - left - right - below
    scale = room / (high - low) if high > low else Fraction(0)
    zero = left + below - low * scale
    drawing = begin_drawing(chart.name, chart.caption, chart.text, ROW * len(names) + 8)
    hatching = add_hatching(drawing, f"{chart.name}-bar", gap=5)
    for row, (name, value, text) in enumerate(zip(names, values, told, strict=True)):
        foot = 4 + ROW * row + (ROW + FONT) // 2 - 2
        add_text(drawing, left - 10, foot, _shorten(name), "end")
        reach = zero + (value or 0) * scale
        corner = (min(zero, reach), 4 + ROW * row + (ROW - THICK) // 2)
        add_box(drawing, corner, (abs(reach - zero), THICK), {**INK, "fill": hatching})
        leftward = value is not None and value < 0
        at, anchor = (reach - 6, "end") if leftward else (reach + 6, "start")
        add_text(drawing, at, foot, text, anchor)
    add_line(drawing, (zero, 0), (zero, ROW * len(names) + 8))
    return drawing


def _shorten(name: str) -> str:
    """Return as much of a name as there is room for."""
    most = MOST_FOR_NAMES * 100 // (56 * FONT)
    return name if len(name) <= most else f"{name[: most - 1]}…"


def _tell(chart: Chart, values: list[Fraction | None], edition: Edition) -> Iterator[str]:
    """Yield what stands at the end of each bar; of shares the share, to a tenth of a per cent."""
    whole = sum((value for value in values if value is not None), Fraction(0))
    for (_, cell), value in zip(chart.points, values, strict=True):
        text = _tell_value(cell, chart.measure, edition)
        if chart.kind is ChartKind.SHARES and value is not None and whole:
            tenths = round(value / whole * 1000)
            share = write_percent(Decimal(tenths).scaleb(-1), edition.language)
            text = f"{text} ({share})"
        yield text


def _tell_value(cell: Cell, column: Column, edition: Edition) -> str:
    if column.kind is ColumnKind.MONEY and isinstance(cell, Decimal):
        return write_money(cell, column.currency, edition.language)
    return write_cell(cell, column, edition)


def _draw_line(chart: Chart, edition: Edition) -> ET.Element:
    points = [
        (x, y)
        for x, y in ((_number(across), _number(measure)) for across, measure in chart.points)
        if x is not None and y is not None
    ]
    drawing = begin_drawing(chart.name, chart.caption, chart.text, PLOT_HEIGHT + 64)
    if not points:
        return drawing
    frame = _Frame(chart, points, edition)
    frame.draw_axes(drawing)
    path = " ".join(
        f"{write_place(frame.x(x))},{write_place(frame.y(y))}" for x, y in sorted(points)
    )
    add(drawing, "polyline", attributes={**INK, "stroke-width": "1.75", "points": path})
    for x, y in points:
        add_box(drawing, (frame.x(x) - 2, frame.y(y) - 2), (4, 4), {"fill": "#000"})
    for cell, words in chart.marked:
        at = _number(cell)
        if at is not None:
            _mark(drawing, frame.x(at), words)
    return drawing


def _mark(drawing: ET.Element, at: Place, words: str) -> None:
    anchor = "end" if at > WIDTH * 3 // 4 else "start"
    line = {"x1": write_place(at), "x2": write_place(at), "y1": "20", "y2": str(PLOT_HEIGHT)}
    dashes = {"stroke": "#000", "stroke-dasharray": "4 3"}
    add(drawing, "line", attributes={**line, **dashes})
    add_text(drawing, at + (-6 if anchor == "end" else 6), 30, words, anchor)


class _Frame:
    """The axes of a line, and where its points lie."""

    def __init__(
        self, chart: Chart, points: list[tuple[Fraction, Fraction]], edition: Edition
    ) -> None:
        self.chart, self.edition, self.points = chart, edition, points
        lowest, highest = min(y for _, y in points), max(y for _, y in points)
        step = _round_step((highest - lowest) / TICKS, chart.measure)
        self.levels = [
            level * step for level in range(int(lowest // step), int(-(-highest // step)) + 1)
        ]
        self.low, self.high = self.levels[0], max(self.levels[-1], self.levels[0] + step)
        self.first, self.last = min(x for x, _ in points), max(x for x, _ in points)
        told = (width_of(_tick(level, chart.measure, edition)) for level in self.levels)
        self.left = max(told) + 10

    def x(self, value: Fraction) -> Fraction:
        """Return the place across."""
        room = WIDTH - 20 - self.left
        return self.left + (value - self.first) * room / ((self.last - self.first) or 1)

    def y(self, value: Fraction) -> Fraction:
        """Return the place down."""
        return PLOT_HEIGHT - (value - self.low) * (PLOT_HEIGHT - 20) / (self.high - self.low)

    def draw_axes(self, drawing: ET.Element) -> None:
        """Draw a hairline for each round level, and name levels, some points and both axes."""
        for level in self.levels:
            place = self.y(level)
            add_line(drawing, (self.left, place), (WIDTH - 20, place))
            text = _tick(level, self.chart.measure, self.edition)
            add_text(drawing, self.left - 6, place + 4, text, "end")
        taken = Fraction(-WIDTH)
        for value in sorted({x for x, _ in self.points}):
            text = _tick(value, self.chart.across, self.edition)
            half = width_of(text) / 2
            if self.x(value) - half > taken + 8:
                add_line(drawing, (self.x(value), PLOT_HEIGHT), (self.x(value), PLOT_HEIGHT + 5))
                add_text(drawing, self.x(value), PLOT_HEIGHT + 20, text, "middle")
                taken = self.x(value) + half
        add_text(drawing, WIDTH - 20, PLOT_HEIGHT + 42, self.chart.across.heading, "end")
        add_text(drawing, 0, 10, self.chart.measure.heading)


def _round_step(least: Fraction, column: Column) -> Fraction:
    """Return the first of 1, 2, 5, 10, 20 … and of their tenths that is no less."""
    unit = Fraction(NM_PER_INCH) if column.kind is ColumnKind.LENGTH else Fraction(1)
    if column.kind is ColumnKind.COUNT:
        least = max(least, Fraction(1))
    least = least / unit or Fraction(1)
    power = Fraction(1)
    while power > least:
        power /= 10
    while power * 10 <= least:
        power *= 10
    return next(power * n for n in (1, 2, 5, 10) if power * n >= least) * unit


def _tick(value: Fraction, column: Column, edition: Edition) -> str:
    """Return a value of an axis as its column is written."""
    if column.kind in {ColumnKind.COUNT, ColumnKind.LENGTH}:
        return write_cell(round(value), column, edition)
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    return _tell_value(exact, column, edition)
