"""Terms of quotes for tests. Rates, prices and dates are invented."""

from datetime import date
from decimal import Decimal
from typing import Any

from optimiser.domain.quote_terms import (
    Addition,
    AdditionBasis,
    Deposit,
    Discount,
    LabourTerms,
    LineKind,
    RoundingTerms,
    TaxClass,
    TaxTerms,
    Terms,
    Work,
)

ISSUED, VALID = date(2026, 3, 2), date(2026, 4, 1)


def mark_up(percent: str) -> Addition:
    return Addition(percent=Decimal(percent))


def margin(percent: str) -> Addition:
    return Addition(basis=AdditionBasis.MARGIN, percent=Decimal(percent))


def terms(**stated: Any) -> Terms:
    return Terms(issued=ISSUED, valid_until=VALID, **stated)


def labour(work: Work, rate: str, *, per_piece: str = "0", per_opening: str = "0") -> LabourTerms:
    return LabourTerms(
        work=work,
        rate_per_hour=Decimal(rate),
        minutes_per_piece=Decimal(per_piece),
        minutes_per_opening=Decimal(per_opening),
    )


GOODS_AND_LABOUR = TaxTerms(
    classes=(
        TaxClass(name="goods", percent=Decimal(20)),
        TaxClass(name="labour", percent=Decimal(5)),
    ),
    usual="goods",
    by_kind=((LineKind.INSTALL, "labour"),),
)

EVERY_TERM = terms(
    number="HR-12",
    customer="Harbour Row hotel",
    addition=mark_up("25"),
    additions=((LineKind.KIT, margin("30")),),
    labour=(
        labour(Work.CUTTING, "40", per_piece="2", per_opening="5"),
        labour(Work.INSTALL, "55", per_opening="90"),
    ),
    freight_passed_on_percent=Decimal(50),
    tax=GOODS_AND_LABOUR,
    discounts=(
        Discount(name="Introduction", amount=Decimal("10.00")),
        Discount(name="Trade", percent=Decimal(5)),
        Discount(name="Kits of the season", percent=Decimal(10), of=LineKind.KIT),
    ),
    rounding=RoundingTerms(step=Decimal("0.05")),
    deposits=(
        Deposit(due=date(2026, 3, 16), percent=Decimal(30)),
        Deposit(due=date(2026, 4, 1), amount=Decimal("100.00")),
    ),
)
"""Every term at once; `tests/unit/test_quote_prices.py` has the arithmetic."""
