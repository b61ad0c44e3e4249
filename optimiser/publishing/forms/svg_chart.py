"""Charts as drawings: bars by name, shares of a whole, a line over numbers. Black on white."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import accumulate
from textwrap import wrap
from typing import Final
from xml.etree import ElementTree as ET

from optimiser.domain.publication import Chart, ChartKind, Edition
from optimiser.publishing.figures import write_cell, write_percent
from optimiser.publishing.forms.svg import (
    FONT,
    INK,
    WIDTH,
    add_box,
    add_hatching,
    add_line,
    add_text,
    begin_drawing,
    width_of,
)
from optimiser.publishing.forms.svg_line import draw_line
from optimiser.publishing.forms.svg_values import number_in, write_value

ROW: Final = 26
LINE: Final = 15
THICK: Final = 14
MOST_FOR_NAMES: Final = 260
MOST_LINES: Final = 3


def draw_chart(chart: Chart, edition: Edition) -> ET.Element:
    """Return the drawing of a chart; a point without a number is named and left open."""
    if chart.kind is ChartKind.LINE:
        return draw_line(chart, edition)
    return _draw_bars(chart, edition)


def _draw_bars(chart: Chart, edition: Edition) -> ET.Element:
    """Return a bar for each point, from zero; below zero it goes to the left."""
    names = [_fold(write_cell(across, chart.across, edition)) for across, _ in chart.points]
    values = [number_in(measure) for _, measure in chart.points]
    told = list(_tell(chart, values, edition))
    widest = max((width_of(line) for lines in names for line in lines), default=Fraction(0))
    left = min(widest, Fraction(MOST_FOR_NAMES)) + 10
    right = max((width_of(text) for text in told), default=Fraction(0)) + 8
    known = [value for value in values if value is not None]
    low, high = min([Fraction(0), *known]), max([Fraction(0), *known])
    below = right if low < 0 else Fraction(0)
    room = WIDTH - left - right - below
    scale = room / (high - low) if high > low else Fraction(0)
    zero = left + below - low * scale
    tops = list(accumulate((_height_of(lines) for lines in names), initial=4))
    drawing = begin_drawing(chart.name, chart.caption, chart.text, tops[-1] + 4)
    hatching = add_hatching(drawing, f"{chart.name}-bar", gap=5)
    for top, lines, value, text in zip(tops, names, values, told, strict=False):
        middle = top + _height_of(lines) // 2
        foot = middle + FONT // 2 - 2
        first = foot - LINE * (len(lines) - 1) // 2
        for number, line in enumerate(lines):
            add_text(drawing, left - 10, first + LINE * number, line, "end")
        reach = zero + (value or 0) * scale
        corner = (min(zero, reach), middle - THICK // 2)
        add_box(drawing, corner, (abs(reach - zero), THICK), {**INK, "fill": hatching})
        leftward = value is not None and value < 0
        at, anchor = (reach - 6, "end") if leftward else (reach + 6, "start")
        add_text(drawing, at, foot, text, anchor)
    add_line(drawing, (zero, 0), (zero, tops[-1] + 4))
    return drawing


def _fold(name: str) -> list[str]:
    """Return a name as lines that fit beside the bars; what is left of a long one is cut off."""
    most = MOST_FOR_NAMES * 100 // (56 * FONT)
    return wrap(name, most, max_lines=MOST_LINES, placeholder=" …") or [""]


def _height_of(lines: list[str]) -> int:
    return ROW + LINE * (len(lines) - 1)


def _tell(chart: Chart, values: list[Fraction | None], edition: Edition) -> Iterator[str]:
    """Yield what stands at the end of each bar; of shares the share, to a tenth of a per cent."""
    whole = sum((value for value in values if value is not None), Fraction(0))
    for (_, cell), value in zip(chart.points, values, strict=True):
        text = write_value(cell, chart.measure, edition)
        if chart.kind is ChartKind.SHARES and value is not None and whole:
            tenths = round(value / whole * 1000)
            share = write_percent(Decimal(tenths).scaleb(-1), edition.language)
            text = f"{text} ({share})"
        yield text
