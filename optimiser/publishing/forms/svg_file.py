"""The drawings of a publication as one file of SVG, below each other, each with its caption."""

from fractions import Fraction
from xml.etree import ElementTree as ET

from optimiser.domain.publication import BarDiagram, Chart, Publication
from optimiser.publishing.forms.svg import (
    FONT,
    WIDTH,
    add_text,
    begin_drawing,
    write_drawing,
    write_place,
)
from optimiser.publishing.forms.svg_bar import draw_bar
from optimiser.publishing.forms.svg_chart import draw_chart

GAP = 18
FACE = "Georgia, serif"


def write_svg(publication: Publication) -> bytes:
    """Return the drawings in UTF-8; where there are none, the title alone."""
    drawn = list(_draw_all(publication))
    below = GAP + FONT
    height = below + sum((below + tall + GAP for _, _, tall in drawn), Fraction(0))
    told = " ".join(block.text for block in publication.blocks if isinstance(block, _DRAWN))
    sheet = begin_drawing(publication.kind, publication.title, told, height)
    sheet.set("font-family", FACE)
    add_text(sheet, 0, FONT, publication.title).set("font-weight", "600")
    top = Fraction(below)
    for caption, drawing, tall in drawn:
        add_text(sheet, 0, top + FONT, caption)
        drawing.set("y", write_place(top + below))
        drawing.set("width", str(WIDTH))
        drawing.set("height", write_place(tall))
        sheet.append(drawing)
        top += below + tall + GAP
    return write_drawing(sheet)


_DRAWN = (BarDiagram, Chart)


def _draw_all(publication: Publication) -> list[tuple[str, ET.Element, Fraction]]:
    """Return each drawing with its caption and its height."""
    bars = [block for block in publication.blocks if isinstance(block, BarDiagram)]
    longest_nm = max((bar.stock_nm for bar in bars), default=1)
    drawn = []
    for block in publication.blocks:
        if isinstance(block, BarDiagram):
            drawing = draw_bar(block, longest_nm, publication.edition)
        elif isinstance(block, Chart):
            drawing = draw_chart(block, publication.edition)
        else:
            continue
        tall = Fraction(drawing.get("viewBox", "0 0 0 0").split()[3])
        drawn.append((block.caption, drawing, tall))
    return drawn
