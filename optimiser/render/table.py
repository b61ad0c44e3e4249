"""Plain-text tables and wrapped paragraphs, at most `LINE_WIDTH` columns wide where they can."""

import re
from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap

LINE_WIDTH = 92
GUTTER = "  "

_INSIDE_FIGURE = re.compile(
    r"(?<=\d) (?=(?:in|mm|%|×|÷|°[FC])(?!\w))|(?<=\d) (?=\d+/\d)|(?<=[×÷]) (?=\d)"
    r"|(?<=[A-Z]{3}) (?=\d)|(?<=≈) (?=\d)"
)
"""A space that a line must not break at: `3 × 80 1/2 in`, `USD 5.20`, `5 %`."""
_UNBREAKABLE = "\N{NO-BREAK SPACE}"


def make_printable(text: str) -> str:
    """Return the text with a space for every line break, tab or other control character."""
    if text.isprintable():
        return text
    return "".join(character if character.isprintable() else " " for character in text)


def keep_figures_whole(text: str) -> str:
    """Return the text with a no-break space wherever a line must not end inside a figure."""
    return _INSIDE_FIGURE.sub(_UNBREAKABLE, text)


def wrap_text(text: str, width: int, *, first: str = "", then: str = "") -> list[str]:
    """Return the text as lines of at most `width`, never broken inside a figure or a word."""
    text = make_printable(text)
    if len(first) + len(text) <= width:
        return [first + text]
    lines = wrap(
        keep_figures_whole(text),
        width,
        initial_indent=first,
        subsequent_indent=then,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(_UNBREAKABLE, " ") for line in lines] or [first]


def write_table(
    heading: Sequence[str], rows: Iterable[Sequence[str]], *, right: frozenset[int] = frozenset()
) -> Iterator[str]:
    """Yield the lines of a table: heading, rule, rows; columns in `right` are set flush right.

    The last column is wrapped where the line would be too long.
    """
    cells = [tuple(make_printable(cell) for cell in row) for row in rows]
    widths = [max(len(row[column]) for row in (heading, *cells)) for column in range(len(heading))]
    before = sum(widths[:-1]) + len(GUTTER) * (len(widths) - 1)
    if len(widths) - 1 not in right:
        widths[-1] = min(widths[-1], max(LINE_WIDTH - before, 20))
    yield from _write_row(heading, widths, right)
    yield GUTTER.join("-" * width for width in widths)
    for row in cells:
        yield from _write_row(row, widths, right)


def _write_row(row: Sequence[str], widths: Sequence[int], right: frozenset[int]) -> Iterator[str]:
    last = wrap_text(row[-1], widths[-1])
    for number, line in enumerate(last):
        cells = [*(row[:-1] if number == 0 else [""] * (len(row) - 1)), line]
        yield GUTTER.join(
            cell.rjust(width) if column in right else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(cells, widths, strict=True))
        ).rstrip()


def write_heading(text: str) -> Iterator[str]:
    """Yield a section's heading, underlined, with a blank line before it."""
    yield ""
    yield text.upper()
    yield "=" * len(text)


def write_item(text: str, *, bullet: str = "- ") -> Iterator[str]:
    """Yield a paragraph with a bullet, wrapped and indented under it."""
    yield from wrap_text(text, LINE_WIDTH, first=bullet, then=" " * len(bullet))


def write_list(heading: str, items: Iterable[str]) -> Iterator[str]:
    """Yield a section of bulleted paragraphs; nothing where there are none."""
    lines = [line for item in items for line in write_item(item)]
    if lines:
        yield from write_heading(heading)
        yield from lines
