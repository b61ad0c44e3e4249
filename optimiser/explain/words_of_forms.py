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
}
