"""The words of documents: none is missing, none is idle, and every language says the same."""

import re
from pathlib import Path
from string import Formatter

import pytest

from optimiser.domain.account import AccountKind
from optimiser.domain.documents import SpanKind
from optimiser.domain.plan import AlternativeOutcome
from optimiser.domain.publication import Language
from optimiser.explain import document_words
from optimiser.explain.document_words import ENGLISH, spell, word
from optimiser.publishing.builders.account import HELD
from optimiser.units.lengths import LengthUnit

LIBRARY = Path(__file__).parents[2] / "optimiser"
SOURCES = "\n".join(
    path.read_text(encoding="utf-8")
    for path in sorted(LIBRARY.rglob("*.py"))
    if not path.name.startswith("words_of_")
)
WRITTEN = set(re.findall(r'"([a-z]+(?:-[a-z]+)*\.[a-z0-9-]+)"', SOURCES))
MADE_UP = tuple(
    re.compile(re.escape(made).replace(r"\{\}", ".+"))
    for made in {
        re.sub(r"\{[^{}]+\}", "{}", text)
        for text in re.findall(r'f"([a-z]+\.[a-z-]*\{[^"]+)"', SOURCES)
    }
)
"""Keys that are put together, such as the name of a kind of the account."""

OWN = frozenset({"why\\", "site", "acco", "diag"})
"""How the groups begin whose keys that are put together are all in `PUT_TOGETHER`."""

PUT_TOGETHER = {
    *(f"account.{kind}" for kind in (*AccountKind, HELD)),
    *(f"why.{o}" for o in AlternativeOutcome if o is not AlternativeOutcome.PRICED),
    *(f"site.{unit}" for unit in LengthUnit),
    *(f"diagrams.span-{kind}" for kind in SpanKind),
    *(f"forms.{kind}" for kind in (SpanKind.KERF, SpanKind.TRIM)),
}


def fields_of(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def test_every_key_is_used() -> None:
    idle = [
        key
        for key in ENGLISH
        if key not in WRITTEN | PUT_TOGETHER
        and not any(made.fullmatch(key) for made in MADE_UP if made.pattern[:4] not in OWN)
    ]
    assert idle == []


def test_every_key_that_is_put_together_has_its_text() -> None:
    assert PUT_TOGETHER - set(ENGLISH) == set()


@pytest.mark.parametrize("language", list(Language))
def test_texts_of_a_language_take_the_same_values(language: Language) -> None:
    spelled = document_words.SPELLED[language]
    assert set(spelled) <= set(ENGLISH)
    for key, text in spelled.items():
        assert fields_of(text) == fields_of(ENGLISH[key])


def test_key_or_value_that_is_missing_is_an_error() -> None:
    with pytest.raises(KeyError):
        word("purchases.nothing-like-it", Language.BRITISH)
    with pytest.raises(KeyError, match="supplier"):
        word("purchases.from-supplier", Language.BRITISH)


def test_own_sentences_are_spelled_as_the_reader_spells() -> None:
    told = "bevelled above 1/4 in, centre to centre; grey"
    assert spell(told, Language.BRITISH) == told
    assert spell(told, Language.AMERICAN) == "beveled above 1/4 in, center to center; gray"
    assert spell("Greyfriars", Language.AMERICAN) == "Greyfriars"
