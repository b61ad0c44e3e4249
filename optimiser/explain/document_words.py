"""The words of documents that people read, by language: titles, headings, columns, short lines.

What is spelled alike in every English stands in `ENGLISH`; a language states what it spells
otherwise. A text may hold fields in braces. Another language is another entry of `_SPELLED`.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from optimiser.domain.publication import Language
from optimiser.explain.words_of_bench import WORDS_OF_BENCH
from optimiser.explain.words_of_forms import WORDS_OF_FORMS
from optimiser.explain.words_of_orders import WORDS_OF_ORDERS
from optimiser.explain.words_of_purchases import WORDS_OF_PURCHASES
from optimiser.explain.words_of_quotes import WORDS_OF_QUOTES
from optimiser.explain.words_of_reasons import WORDS_OF_REASONS
from optimiser.explain.words_of_site import WORDS_OF_SITE

ENGLISH: Final[Mapping[str, str]] = MappingProxyType(
    {
        **WORDS_OF_FORMS,
        **WORDS_OF_ORDERS,
        **WORDS_OF_PURCHASES,
        **WORDS_OF_QUOTES,
        **WORDS_OF_REASONS,
        **WORDS_OF_BENCH,
        **WORDS_OF_SITE,
    }
)
"""Every text by its key, in the project's spelling, which is British."""

_SPELLED: Final[Mapping[Language, Mapping[str, str]]] = {
    Language.BRITISH: {},
    Language.AMERICAN: {
        "site.mm": "millimeters",
        "inside.labour": ENGLISH["inside.labour"].replace("Labour", "Labor"),
        **{
            f"line.{work}": ENGLISH[f"line.{work}"].replace("Labour", "Labor")
            for work in ("cutting", "packing", "install")
        },
        "diagrams.how-to-read": ENGLISH["diagrams.how-to-read"].replace("grey", "gray"),
    },
}


def word(key: str, language: Language, **values: str) -> str:
    """Return the text of a key in a language, with its fields filled in.

    Raises:
        KeyError: no text has the key, or a field of it has no value.
    """
    text = _SPELLED[language].get(key) or ENGLISH[key]
    return text.format_map(values)
