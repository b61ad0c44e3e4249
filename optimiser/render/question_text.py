"""What came of the questions of a study, as plain text."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from optimiser.domain.study_questions import Answer, PriceBreak, Question
from optimiser.render.break_even_text import show_money
from optimiser.render.table import write_list

_ASKED = {
    Question.SPACING: "Of the installer's spacings",
    Question.FASTENERS: "Fasteners with all, some or no kits",
    Question.NOW_OR_NEXT: "Now or with the next order",
    Question.CATALOGUE: "Of the other catalogues",
    Question.QUANTITY: "How many to the next price break",
    Question.FINISH: "Of the finishes",
}


def write_answers(answers: Sequence[Answer], currency: str) -> Iterator[str]:
    """Yield a paragraph for each question; nothing where there are none."""
    yield from write_list("Questions", (_word(answer, currency) for answer in answers))


def _word(answer: Answer, currency: str) -> str:
    return f"{_ASKED[answer.question]}: {_come_to(answer, currency)}"


def _come_to(answer: Answer, currency: str) -> str:
    match answer.question:
        case Question.QUANTITY:
            return _word_break(answer.next_break, currency)
        case Question.NOW_OR_NEXT:
            return _word_saving(answer.saving, currency)
    if answer.cheapest is None:
        return "no plan, or plans in several currencies."
    return f"{answer.cheapest} costs least."


def _word_break(found: PriceBreak | None, currency: str) -> str:
    if found is None:
        return "no article costs less each at any quantity that was looked at."
    return (
        f"at {found.point}, {found.sku} of {found.supplier} costs {currency} "
        f"{show_money(found.price, currency)} each instead of "
        f"{show_money(found.base_price, currency)}."
    )


def _word_saving(saving: Decimal | None, currency: str) -> str:
    if saving is None:
        return "one of the three has no plan."
    shown = f"{currency} {show_money(abs(saving), currency)}"
    if saving < 0:
        return f"buying together costs {shown} more."
    return f"buying together saves {shown}." if saving else "buying together costs the same."
