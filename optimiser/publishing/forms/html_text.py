"""Elements with text in them, as pages and drawings are made of."""

from collections.abc import Mapping
from xml.etree import ElementTree as ET

from optimiser.render.table import keep_figures_whole, make_printable


def add(
    parent: ET.Element, tag: str, text: str = "", attributes: Mapping[str, str] | None = None
) -> ET.Element:
    """Add an element with its text below a parent, and return it."""
    child = ET.SubElement(
        parent, tag, {key: make_printable(v) for key, v in (attributes or {}).items()}
    )
    if text:
        child.text = keep_figures_whole(make_printable(text))
    return child
