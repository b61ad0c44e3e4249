"""A line over numbers as a drawing: round levels, named points or round steps, marked places."""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import count, pairwise
from typing import Final
from xml.etree import ElementTree as ET

from optimiser.domain.publication import Chart, Column, ColumnKind, Edition, LengthsShown
from optimiser.publishing.forms.html_text import add
from optimiser.publishing.forms.svg import (
    INK,
    WIDTH,
    Place,
    add_box,
    add_line,
    add_text,
    begin_drawing,
    width_of,
    write_place,
)
from optimiser.publishing.forms.svg_values import number_in, write_tick
from optimiser.units.lengths import FINEST_FRACTION, NM_PER_INCH, NM_PER_MILLIMETRE

HEADING: Final = 30
LANE: Final = 18
PLOT: Final = 220
FOOT: Final = 48
RIGHT: Final = 28
TICKS: Final = 5
STEPS: Final = 8
GAP: Final = 8
GREY: Final = "#b0b0b0"

_Mark = tuple[Fraction, str, int]
"""Where a mark stands across, its words, and the row of text above the plot that they take."""


def draw_line(chart: Chart, edition: Edition) -> ET.Element:
    """Return the drawing of a line; points without two numbers are left out."""
    points = sorted(
        (x, y)
        for x, y in ((number_in(across), number_in(measure)) for across, measure in chart.points)
        if x is not None and y is not None
    )
    frame = _Frame(chart, points, edition) if points else None
    marks = list(_place_marks(chart, frame)) if frame else []
    top = HEADING + LANE * max((lane + 1 for _, _, lane in marks), default=0)
    drawing = begin_drawing(chart.name, chart.caption, chart.text, top + PLOT + FOOT)
    if frame is None:
        return drawing
    frame.top = top
    frame.draw_axes(drawing)
    for at, words, lane in marks:
        _draw_mark(drawing, at, words, top, HEADING + LANE * (lane + 1) - 6)
    path = " ".join(f"{write_place(frame.x(x))},{write_place(frame.y(y))}" for x, y in points)
    add(drawing, "polyline", attributes={**INK, "stroke-width": "1.75", "points": path})
    for x, y in points:
        add_box(drawing, (frame.x(x) - 2, frame.y(y) - 2), (4, 4), {"fill": "#000"})
    return drawing


class _Frame:
    """The axes of a line, and where its points lie."""

    def __init__(
        self, chart: Chart, points: list[tuple[Fraction, Fraction]], edition: Edition
    ) -> None:
        self.chart, self.edition, self.points = chart, edition, points
        self.top = HEADING
        lowest, highest = min(y for _, y in points), max(y for _, y in points)
        step = round_step((highest - lowest) / TICKS, chart.measure, edition)
        first = lowest // step
        last = max(-(-highest // step), first + 1)
        self.levels = [level * step for level in range(first, last + 1)]
        self.first, self.last = points[0][0], points[-1][0]
        told = [write_tick(level, chart.measure, edition) for level in self.levels]
        # A label below the left end may reach out of the plot.
        end = width_of(write_tick(self.first, chart.across, edition)) / 2
        self.left = max(max(map(width_of, told)) + 10, end)

    def x(self, value: Fraction) -> Fraction:
        """Return the place across; a single point stands in the middle."""
        room = WIDTH - RIGHT - self.left
        if self.last == self.first:
            return self.left + room / 2
        return self.left + (value - self.first) * room / (self.last - self.first)

    def y(self, value: Fraction) -> Fraction:
        """Return the place down."""
        low, high = self.levels[0], self.levels[-1]
        return self.top + PLOT - (value - low) * PLOT / (high - low)

    def draw_axes(self, drawing: ET.Element) -> None:
        """Draw a hairline for each round level, and name levels, steps and both axes."""
        right = WIDTH - RIGHT
        for level in self.levels:
            place = self.y(level)
            line = add_line(drawing, (self.left, place), (right, place))
            if level != self.levels[0]:
                line.set("stroke", GREY)
            text = write_tick(level, self.chart.measure, self.edition)
            add_text(drawing, self.left - 6, place + 4, text, "end")
        foot = self.top + PLOT
        for value, text in self._steps():
            add_line(drawing, (self.x(value), foot), (self.x(value), foot + 5))
            add_text(drawing, self.x(value), foot + 20, text, "middle")
        add_text(drawing, right, foot + 40, self.chart.across.heading, "end")
        add_text(drawing, 0, 12, self.chart.measure.heading)

    def _steps(self) -> list[tuple[Fraction, str]]:
        """Return what is named below: every point where there is room, else round steps."""
        named = self._tell(x for x, _ in self.points)
        if self._fit(named):
            return named
        most = STEPS
        while True:
            step = round_step((self.last - self.first) / most, self.chart.across, self.edition)
            first = -(-self.first // step)
            named = self._tell(n * step for n in range(first, self.last // step + 1))
            if most == 1 or self._fit(named):
                return named
            most -= 1

    def _tell(self, values: Iterable[Fraction]) -> list[tuple[Fraction, str]]:
        return [
            (value, write_tick(value, self.chart.across, self.edition))
            for value in sorted(set(values))
        ]

    def _fit(self, named: list[tuple[Fraction, str]]) -> bool:
        ends = [(self.x(value), width_of(text) / 2) for value, text in named]
        return all(
            at + half + GAP <= then - next_half for (at, half), (then, next_half) in pairwise(ends)
        )


def _place_marks(chart: Chart, frame: _Frame) -> Iterator[_Mark]:
    """Yield the marks that lie in the plot, each with a row of its own where two would meet."""
    taken: list[tuple[int, Fraction, Fraction]] = []
    for cell, words in chart.marked:
        value = number_in(cell)
        if value is None or not frame.first <= value <= frame.last:
            continue
        at = frame.x(value)
        start = _start_of(at, words)
        end = start + width_of(words)
        met = {lane for lane, left, right in taken if left < end + GAP and start < right + GAP}
        free = next(lane for lane in count() if lane not in met)
        taken.append((free, start, end))
        yield at, words, free


def _start_of(at: Fraction, words: str) -> Fraction:
    """Return where the words of a mark begin: at its middle, as far as the drawing reaches."""
    wide = width_of(words)
    return max(Fraction(0), min(at - wide / 2, WIDTH - wide))


def _draw_mark(drawing: ET.Element, at: Place, words: str, top: int, foot: int) -> None:
    ends = {"x1": at, "x2": at, "y1": foot + 6, "y2": top + PLOT}
    places = {name: write_place(place) for name, place in ends.items()}
    add(drawing, "line", attributes={**places, "stroke": "#000", "stroke-dasharray": "4 3"})
    start = _start_of(Fraction(at), words)
    middle = start + width_of(words) / 2
    if abs(middle - at) < 1:
        add_text(drawing, at, foot, words, "middle")
    elif middle < at:
        add_text(drawing, WIDTH, foot, words, "end")
    else:
        add_text(drawing, 0, foot, words)


def round_step(least: Fraction, column: Column, edition: Edition) -> Fraction:
    """Return the first round step that is no less: 1, 2, 5, 10, 20 … and their tenths.

    Below an inch it is a half, a quarter and so on, as a rule is divided.
    """
    unit = Fraction(1)
    if column.kind is ColumnKind.LENGTH:
        metric = edition.lengths is LengthsShown.MILLIMETRES
        unit = Fraction(NM_PER_MILLIMETRE if metric else NM_PER_INCH)
        if not metric and least < unit:
            part = unit / FINEST_FRACTION
            while part < least:
                part *= 2
            return part
    elif column.kind is ColumnKind.COUNT:
        least = max(least, Fraction(1))
    wanted = least / unit or Fraction(1)
    power = Fraction(1)
    while power > wanted:
        power /= 10
    while power * 10 <= wanted:
        power *= 10
    return next(power * n for n in (1, 2, 5, 10) if power * n >= wanted) * unit
