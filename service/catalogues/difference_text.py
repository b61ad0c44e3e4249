"""What differs between two catalogues as text for a buyer."""

from collections.abc import Iterator, Sequence

from service.catalogues.wording import word_absence, word_member
from service.wire.differences import (
    ArticleAdded,
    ArticleRemoved,
    CatalogueChange,
    CatalogueDifferences,
    PriceChanged,
    TermChanged,
)

_PERCENTAGES = ("percent", "tolerance_percent")


def render_differences(found: CatalogueDifferences) -> str:
    """Return the differences as text: the terms, then what is added, removed and changed."""
    lines = [*_head(found)]
    terms = [c for c in found.changes if isinstance(c, PriceChanged | TermChanged) and not c.sku]
    articles = [c for c in found.changes if isinstance(c, PriceChanged | TermChanged) and c.sku]
    for title, changes in (
        ("Terms of the supplier", terms),
        ("Changed", articles),
        ("Added", [c for c in found.changes if isinstance(c, ArticleAdded)]),
        ("Removed", [c for c in found.changes if isinstance(c, ArticleRemoved)]),
    ):
        lines += _section(title, changes)
    return "\n".join(lines) + "\n"


def _head(found: CatalogueDifferences) -> Iterator[str]:
    before, after = found.before, found.after
    if before.supplier == after.supplier:
        yield f"Catalogue of {after.supplier}, earlier → later"
    else:
        yield f"Catalogues of {before.supplier} → {after.supplier}"
        yield (
            "Articles are told by supplier and SKU: of two suppliers none is compared with "
            "another, nor are their terms."
        )
    if before.currency == after.currency:
        yield f"Prices in {after.currency}."
    else:
        yield (
            f"Prices in {before.currency} before and in {after.currency} after: no change is "
            "worked out."
        )
    if not found.changes:
        yield "Nothing differs."
    else:
        yield (
            f"Articles: {found.articles_changed:,} changed, {found.articles_added:,} added, "
            f"{found.articles_removed:,} removed."
        )


def _section(title: str, changes: Sequence[CatalogueChange]) -> Iterator[str]:
    if changes:
        yield ""
        yield title
        yield from (f"  {_line(change)}" for change in changes)


def _line(change: CatalogueChange) -> str:
    if isinstance(change, ArticleAdded | ArticleRemoved):
        return f"{change.sku} {change.described}"
    words = word_member(change.member, change.entry)
    if change.sku is not None:
        article = f"{change.sku} {change.described.partition(', ')[0]}"
        words = f"{article}, {words}" if words else article
    if change.entry is not None and change.before is None:
        return f"{words}: new, {_shown(change, change.after)}"
    if change.entry is not None and change.after is None:
        return f"{words}: {_shown(change, change.before)}, no longer"
    line = f"{words}: {_shown(change, change.before)} → {_shown(change, change.after)}"
    if isinstance(change, PriceChanged) and change.change is not None:
        line += f", {_signed(change.change)}"
        if change.percent is not None:
            line += f" ({_signed(change.percent)} %)"
    return line


def _shown(change: PriceChanged | TermChanged, value: str | None) -> str:
    if value is None:
        return word_absence(change.member)
    is_percentage = change.member.rpartition(".")[2] in _PERCENTAGES
    return f"{value} %" if is_percentage else value


def _signed(number: str) -> str:
    """Return a number with its sign, a minus as printed; 0 has none of its own."""
    return f"−{number[1:]}" if number.startswith("-") else f"+{number}"
