"""What drawings are made of: elements of SVG with text, placed in whole hundredths of a unit."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Final
from xml.etree import ElementTree as ET

from optimiser.publishing.forms.html_text import add

WIDTH: Final = 720
"""The width of every drawing, in its own units."""
FONT: Final = 13
INK: Final = {"fill": "none", "stroke": "#000", "stroke-width": "1"}

Place = int | Fraction


def begin_drawing(name: str, title: str, text: str, height: Place) -> ET.Element:
    """Return an empty drawing, with its name and what it shows for those who cannot see it."""
    drawing = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {WIDTH} {write_place(height)}",
            "role": "img",
            "aria-labelledby": f"{name}-title {name}-text",
            "font-size": str(FONT),
        },
    )
    add(drawing, "title", title, {"id": f"{name}-title"})
    add(drawing, "desc", text, {"id": f"{name}-text"})
    return drawing


def write_place(place: Place) -> str:
    """Return a place in the drawing with two decimals at most."""
    hundredths = round(place * 100)
    sign, (whole, rest) = "-" if hundredths < 0 else "", divmod(abs(hundredths), 100)
    return f"{sign}{whole}.{rest:02d}".rstrip("0").rstrip(".")


def add_text(
    drawing: ET.Element, x: Place, y: Place, text: str, anchor: str = "start"
) -> ET.Element:
    """Add a line of text; `y` is its foot."""
    return add(
        drawing,
        "text",
        text,
        {"x": write_place(x), "y": write_place(y), "text-anchor": anchor},
    )


def add_line(
    drawing: ET.Element, start: tuple[Place, Place], end: tuple[Place, Place]
) -> ET.Element:
    """Add a hairline, and return it."""
    (x1, y1), (x2, y2) = start, end
    ends = {"x1": x1, "y1": y1, "x2": x2, "y2": y2}
    places = {name: write_place(place) for name, place in ends.items()}
    return add(drawing, "line", attributes={**places, "stroke": "#000", "stroke-width": "0.75"})


def add_box(
    drawing: ET.Element,
    corner: tuple[Place, Place],
    size: tuple[Place, Place],
    style: Mapping[str, str],
) -> None:
    """Add a rectangle from its upper left corner, with width and height."""
    (x, y), (width, height) = corner, size
    places = {"x": x, "y": y, "width": width, "height": height}
    written = {name: write_place(place) for name, place in places.items()}
    add(drawing, "rect", attributes={**written, **style})


def add_hatching(drawing: ET.Element, name: str, angle: int = 45, gap: int = 6) -> str:
    """Add a pattern of parallel lines, and return the fill that uses it."""
    pattern = add(
        add(drawing, "defs"),
        "pattern",
        attributes={
            "id": name,
            "width": str(gap),
            "height": str(gap),
            "patternUnits": "userSpaceOnUse",
            "patternTransform": f"rotate({angle})",
        },
    )
    add_box(pattern, (0, 0), (gap, gap), {"fill": "#fff"})
    add_line(pattern, (0, 0), (0, gap))
    return f"url(#{name})"


def width_of(text: str) -> Fraction:
    """Return about how wide a text is drawn: more than it is, for a serif face."""
    return Fraction(56 * FONT * len(text), 100)


def write_drawing(drawing: ET.Element) -> bytes:
    """Return a drawing as a file of its own."""
    return b'<?xml version="1.0" encoding="utf-8"?>\n' + ET.tostring(drawing, "unicode").encode()
