"""Questions that are asked again and again, and what came of one."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class Question(StrEnum):
    """What is asked."""

    SPACING = "installers-spacing"
    FASTENERS = "fasteners-with-kits"
    NOW_OR_NEXT = "now-or-next"
    CATALOGUE = "other-catalogue"
    QUANTITY = "quantity"
    FINISH = "finish"


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBreak:
    """The first quantity at which an article costs less each than in the base's plan."""

    point: str
    supplier: str
    sku: str
    base_price: Decimal
    price: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What came of a question.

    `cheapest` names the point of least cost, of equals the first; `saving` is what buying together
    saves, `next_break` the next price break; each is `None` where there is none, or another
    question was asked.
    """

    question: Question
    points: tuple[str, ...]
    cheapest: str | None = None
    saving: Decimal | None = None
    next_break: PriceBreak | None = None
