"""The curve of the campaign `orders` as SVG: two panels, legible in black and white."""

from collections.abc import Callable, Iterable, Sequence
from math import log10
from statistics import median_low
from xml.sax.saxutils import escape

from tests.benchmark.measuring import Facts
from tests.benchmark.order_tables import until_bound, until_cost, until_proof_or_end

WIDTH, HEIGHT = 940, 452
PANEL_WIDTH, PANEL_HEIGHT = 370, 290
TOP, LEFTS = 72, (72, 540)
INK, PAPER, FAINT = "#111", "#fff", "#bbb"

Value = Callable[[Facts], float | None]
SERIES: tuple[tuple[str, Value, str, str], ...] = (
    ("first bound", until_bound, "2 4", "triangle"),
    ("first plan", until_cost, "8 4", "square"),
    ("end, proved", until_proof_or_end, "", "circle"),
)
Points = Sequence[Sequence[Facts]]


def draw_curve(by_lengths: Points, by_openings: Points, limit: float) -> str:
    """Return the chart: time against distinct lengths, and against openings."""
    times = [
        seconds
        for draws in (*by_lengths, *by_openings)
        for _, value, _, _ in SERIES
        if (seconds := _median(draws, value)) is not None
    ]
    seconds = _decades(min(times), max(times))
    body = [
        *_panel(LEFTS[0], by_lengths, "lengths", "distinct lengths", seconds),
        *_panel(LEFTS[1], by_openings, "openings", "openings", seconds),
        *_legend(limit),
    ]
    lengths = [draws[0]["lengths"] for draws in by_openings]
    openings = by_lengths[0][0]["openings"]
    titles = [
        _text(LEFTS[0], 54, f"{openings:,} openings", size=16, weight="bold"),
        _text(LEFTS[1], 54, f"{max(lengths)} distinct lengths", size=16, weight="bold"),
        _text(LEFTS[0], 22, "Processor seconds to plan an order (median of the draws)", size=13),
    ]
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" '
            f'width="{WIDTH}" height="{HEIGHT}" font-family="sans-serif" role="img">',
            "<title>Time to plan against distinct lengths and against openings</title>",
            f'<rect width="{WIDTH}" height="{HEIGHT}" fill="{PAPER}"/>',
            *titles,
            *body,
            "</svg>",
            "",
        ]
    )


def _median(draws: Sequence[Facts], value: Value) -> float | None:
    known = [seconds for plan in draws if "cost" in plan and (seconds := value(plan)) is not None]
    return median_low(known) if known else None


def _decades(least: float, most: float) -> tuple[float, float]:
    """Return the whole decades around some values."""
    low = 10.0 ** int(log10(least) // 1)
    high = 10.0 ** int(-(-log10(most) // 1))
    return low, max(high, 10 * low)


class _Axis:
    """A logarithmic axis from one pixel to another."""

    def __init__(self, between: tuple[float, float], pixels: tuple[float, float]) -> None:
        self.low, self.high = (log10(value) for value in between)
        self.first, self.last = pixels

    def at(self, value: float) -> float:
        """Return the pixel of a value."""
        share = (log10(value) - self.low) / (self.high - self.low)
        return round(self.first + share * (self.last - self.first), 1)


def _panel(
    left: float, points: Points, key: str, label: str, seconds: tuple[float, float]
) -> Iterable[str]:
    bottom = TOP + PANEL_HEIGHT
    drawn = [draws for draws in points if "lengths" in draws[0]]
    values = [float(draws[0][key]) for draws in drawn]
    margin = 1.15
    across = _Axis((min(values) / margin, max(values) * margin), (left, left + PANEL_WIDTH))
    up = _Axis(seconds, (bottom, TOP))
    tick = seconds[0]
    while tick <= seconds[1] * 1.001:
        y = up.at(tick)
        yield _line(left, y, left + PANEL_WIDTH, y, FAINT)
        yield _text(left - 8, y + 4, f"{tick:g} s", anchor="end")
        tick *= 10
    for value in values:
        x = across.at(value)
        yield _line(x, bottom, x, bottom + 5, INK)
        yield _text(x, bottom + 20, _short(value), anchor="middle")
    yield _line(left, bottom, left + PANEL_WIDTH, bottom, INK)
    yield _line(left, TOP, left, bottom, INK)
    yield _text(left + PANEL_WIDTH / 2, bottom + 42, label, anchor="middle", size=14)
    for _, value, dashes, shape in SERIES:
        places = []
        for draws, at in zip(drawn, values, strict=True):
            median = _median(draws, value)
            if median is not None:
                proved = all(plan.get("proved") for plan in draws)
                places.append((across.at(at), up.at(median), shape != "circle" or proved))
        path = " ".join(f"{x},{y}" for x, y, _ in places)
        yield (
            f'<polyline points="{path}" fill="none" stroke="{INK}" stroke-width="1.6"'
            + (f' stroke-dasharray="{dashes}"' if dashes else "")
            + "/>"
        )
        yield from (_mark(x, y, shape, filled) for x, y, filled in places)


def _legend(limit: float) -> Iterable[str]:
    y = HEIGHT - 16
    entries = [(name, dashes, shape, True) for name, _, dashes, shape in SERIES]
    entries.append((f"end, not every draw proved (limit {limit:g} s)", "", "circle", False))
    x: float = LEFTS[0]
    for name, dashes, shape, filled in entries:
        yield _line(x, y - 4, x + 36, y - 4, INK, dashes=dashes)
        yield _mark(x + 18, y - 4, shape, filled)
        yield _text(x + 44, y, name, size=13)
        x += 80 + 7 * len(name)


def _mark(x: float, y: float, shape: str, filled: bool) -> str:
    fill = INK if filled else PAPER
    style = f'fill="{fill}" stroke="{INK}" stroke-width="1.5"'
    if shape == "circle":
        return f'<circle cx="{x}" cy="{y}" r="4.5" {style}/>'
    if shape == "square":
        return f'<rect x="{x - 4:g}" y="{y - 4:g}" width="8" height="8" {style}/>'
    corners = f"{x:g},{y - 5:g} {x + 5:g},{y + 4:g} {x - 5:g},{y + 4:g}"
    return f'<polygon points="{corners}" {style}/>'


def _line(x1: float, y1: float, x2: float, y2: float, ink: str, *, dashes: str = "") -> str:
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'<line x1="{x1:g}" y1="{y1:g}" x2="{x2:g}" y2="{y2:g}" stroke="{ink}"{dashed}/>'


def _text(
    x: float, y: float, text: str, *, anchor: str = "start", size: int = 12, weight: str = "normal"
) -> str:
    return (
        f'<text x="{x:g}" y="{y:g}" font-size="{size}" font-weight="{weight}" '
        f'text-anchor="{anchor}" fill="{INK}">{escape(text)}</text>'
    )


def _short(value: float) -> str:
    return f"{value / 1000:g}k" if value >= 1000 else f"{value:g}"
