"""Words that a form needs beside those of the document that it writes."""

from typing import Final

WORDS_OF_FORMS: Final[dict[str, str]] = {
    "forms.source": "Source: {source}.",
    "forms.rounded": (
        "≈ stands before a length that is rounded, to 1/64 in or 0.1 mm, because its unit cannot "
        "show it exactly."
    ),
    "forms.drop": "drop {length}",
    "forms.trim": "end trim {length} at each end",
    "forms.kerf": "kerf {length} at each cut",
    "forms.page": "Page",
    "forms.copies-of": "Copies",
    "forms.line": "Line {number}",
    "forms.labels": "Labels",
    "forms.bars": "Bars and their cuts",
    "forms.bar": "Bar",
    "forms.span": "Span",
    "forms.from": "From",
    "forms.to": "To",
    "forms.length": "Length",
    "forms.span-trim": "trim",
    "forms.span-piece": "piece",
    "forms.span-kerf": "kerf",
    "forms.span-drop": "drop",
    "forms.remark": "Remark",
    "forms.notes": "Notes",
    "forms.under-of-note": "Under",
    "forms.note-of-note": "Note",
    "forms.source-of-note": "Source",
}
