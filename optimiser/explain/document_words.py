"""The words of documents that people read, by language: titles, headings, columns, short lines.

What is spelled alike in every English stands in `ENGLISH`; a language states what it spells
otherwise. A text may hold fields in braces. Another language is another entry of `SPELLED`.
"""

import re
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
from optimiser.explain.words_of_studies import WORDS_OF_STUDIES

ENGLISH: Final[Mapping[str, str]] = MappingProxyType(
    {
        **WORDS_OF_FORMS,
        **WORDS_OF_ORDERS,
        **WORDS_OF_PURCHASES,
        **WORDS_OF_QUOTES,
        **WORDS_OF_REASONS,
        **WORDS_OF_BENCH,
        **WORDS_OF_SITE,
        **WORDS_OF_STUDIES,
    }
)
"""Every text by its key, in the project's spelling, which is British."""

_AMERICAN: Final = {
    "bevelled": "beveled",
    "centre": "center",
    "grey": "gray",
    "labour": "labor",
    "Labour": "Labor",
    "millimetres": "millimeters",
}
_BRITISH_WORD: Final = re.compile(rf"\b(?:{'|'.join(_AMERICAN)})\b")


def spell(text: str, language: Language) -> str:
    """Return a sentence of the project's own in the spelling of a language.

    Not for what users write: names are left as they are.
    """
    if language is not Language.AMERICAN:
        return text
    return _BRITISH_WORD.sub(lambda found: _AMERICAN[found[0]], text)


SPELLED: Final[Mapping[Language, Mapping[str, str]]] = {
    Language.BRITISH: {},
    Language.AMERICAN: {
        key: spelled
        for key, text in ENGLISH.items()
        if (spelled := spell(text, Language.AMERICAN)) != text
    },
}
"""What a language says otherwise, by key."""


def word(key: str, language: Language, **values: str) -> str:
    """Return the text of a key in a language, with its fields filled in.

    Raises:
        KeyError: no text has the key, or a field of it has no value.
    """
    text = SPELLED[language].get(key) or ENGLISH[key]
    return text.format_map(values)
