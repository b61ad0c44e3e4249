"""The committed page of results: each campaign writes its own section of it."""

import re
from collections.abc import Iterable, Sequence
from pathlib import Path

PAGE = "RESULTS.md"


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterable[str]:
    """Return a Markdown table, line by line, padded to read as text: words left, figures right."""
    widths = [max(len(row[n]) for row in [head, *rows]) for n in range(len(head))]
    right = [all(_is_figure(row[n]) for row in rows) for n in range(len(head))]

    def line(cells: Sequence[str]) -> str:
        padded = (
            cell.rjust(width) if to_the_right else cell.ljust(width)
            for cell, width, to_the_right in zip(cells, widths, right, strict=True)
        )
        return f"| {' | '.join(padded)} |"

    yield line(head)
    rules = (
        "-" * (width - 1) + (":" if r else "-") for width, r in zip(widths, right, strict=True)
    )
    yield f"| {' | '.join(rules)} |"
    yield from (line(row) for row in rows)


def _is_figure(cell: str) -> bool:
    words = {word for word in re.split(r"[^a-z]+", cell.lower()) if word}
    return words <= {"of", "never", "none", "e"}


def write_section(folder: Path, name: str, lines: Sequence[str]) -> None:
    """Put lines between the marks of a section in the folder's page."""
    page = folder / PAGE
    text = page.read_text(encoding="utf-8")
    begin, end = f"<!-- {name}: begin -->\n", f"<!-- {name}: end -->\n"
    before, found, rest = text.partition(begin)
    _, closed, after = rest.partition(end)
    if not found or not closed:
        raise ValueError(f"{page}: no section between {begin.strip()} and {end.strip()}")
    body = "\n".join(lines).strip()
    page.write_text(f"{before}{begin}\n{body}\n\n{end}{after}", encoding="utf-8")


def write_chart(folder: Path, name: str, svg: str) -> None:
    """Write a chart beside the page."""
    (folder / name).write_text(svg, encoding="utf-8")
