"""A page of HTML, taken apart as a reader's program would: headings, tables, texts."""

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser
from itertools import pairwise

VOID = frozenset({"meta", "link", "br", "hr", "img", "input"})


@dataclass
class Element:
    tag: str
    attributes: dict[str, str]
    children: list["Element | str"] = field(default_factory=list)

    def all(self, *tags: str) -> list["Element"]:
        """Return every element below with one of the tags, in the order of the page."""
        found = []
        for child in self.children:
            if isinstance(child, Element):
                if not tags or child.tag in tags:
                    found.append(child)
                found += child.all(*tags)
        return found

    @property
    def text(self) -> str:
        said = (child if isinstance(child, str) else child.text for child in self.children)
        return "".join(said).replace("\N{NO-BREAK SPACE}", " ")


class _Parser(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.root = Element("", {})
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].tag == tag, f"<{self.open[-1].tag}> is closed by </{tag}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].children.append(data)


def read_page(page: bytes) -> Element:
    """Return the page; an element that is not closed, or closed out of turn, fails."""
    parser = _Parser()
    parser.feed(page.decode())
    parser.close()
    assert parser.open == [parser.root]
    return parser.root


def faults_of(page: Element) -> list[str]:
    """Return what keeps a page from being read by everybody, or sends it to other addresses.

    Headings follow each other without a gap, tables have captions and the heads of their columns
    and rows say so, drawings have names, ids are there once. WCAG 2.2: 1.1.1, 1.3.1, 3.1.1; HTML:
    the attribute `id`.
    """
    faults = []
    (html,) = page.all("html")
    if not html.attributes.get("lang"):
        faults.append("no language")
    levels = [int(heading.tag[1]) for heading in page.all("h1", "h2", "h3", "h4", "h5", "h6")]
    if levels[:1] != [1] or levels.count(1) != 1:
        faults.append(f"headings begin {levels[:3]}")
    faults += [f"h{b} after h{a}" for a, b in pairwise(levels) if b > a + 1]
    for table in page.all("table"):
        if not [caption for caption in table.all("caption") if caption.text]:
            faults.append("a table without a caption")
        faults += ["a head without scope" for th in table.all("th") if "scope" not in th.attributes]
    for drawing in page.all("svg"):
        named = {child.attributes.get("id") for child in drawing.all("title", "desc")}
        if set(drawing.attributes.get("aria-labelledby", "-").split()) - named:
            faults.append("a drawing without a name")
    ids = [element.attributes["id"] for element in page.all() if "id" in element.attributes]
    faults += [f"id {name} twice" for name in {name for name in ids if ids.count(name) > 1}]
    faults += [f"<{element.tag}>" for element in page.all("script", "link", "img", "iframe")]
    style = "".join(element.text for element in page.all("style"))
    if re.search(r"url\(|@import|https?:", style):
        faults.append("the style fetches something")
    return faults
