"""Every fault of the terms of a quote that can be told without a price."""

from collections import Counter
from collections.abc import Iterable, Iterator
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.faults import Fault
from optimiser.domain.quote_terms import (
    Addition,
    AdditionBasis,
    Deposit,
    Discount,
    LabourTerms,
    LineKind,
    TaxTerms,
    Terms,
)
from optimiser.quote.rounding import minor_unit
from optimiser.units.faults import quote

Path = tuple[str | int, ...]


def find_terms_faults(terms: Terms, currency: str) -> tuple[Fault, ...]:
    """Return every fault of the terms; paths lead to the value in them.

    Raises:
        CurrencyError: not the code of a currency.
    """
    unit = minor_unit(currency)
    return (
        *_validity(terms),
        *_additions(terms),
        *_labour(terms.labour),
        *_percent(("freight_passed_on_percent",), "The share of freight passed on",
                  terms.freight_passed_on_percent),
        *(() if terms.tax is None else _tax(terms.tax)),
        *_discounts(terms.discounts, unit),
        *_step(terms, unit),
        *_deposits(terms, unit),
    )  # fmt: skip


def _validity(terms: Terms) -> Iterator[Fault]:
    if terms.valid_until < terms.issued:
        yield Fault(
            ("valid_until",),
            "validity-before-issue",
            f"The quote is valid until {terms.valid_until}, before the day of issue, "
            f"{terms.issued}; give that day or a later one.",
        )


def _additions(terms: Terms) -> Iterator[Fault]:
    yield from _addition(("addition",), "The addition", terms.addition)
    yield from _repeated(
        ("additions",), "An addition", ((kind, kind) for kind, _ in terms.additions)
    )
    for position, (kind, addition) in enumerate(terms.additions):
        yield from _addition(("additions", position), f"The addition to {kind}", addition)


def _addition(path: Path, what: str, addition: Addition) -> Iterator[Fault]:
    percent = addition.percent
    if not percent.is_finite() or percent < 0:
        yield Fault(
            (*path, "percent"),
            "negative-percent",
            f"{what} is {percent} %, below zero; give 0 or more.",
        )
    elif addition.basis is AdditionBasis.MARGIN and percent >= 100:
        yield Fault(
            (*path, "percent"),
            "margin-not-below-100",
            f"{what} is a margin of {percent} % of the price, which leaves nothing for the cost; "
            "give less than 100 %, or a mark-up of the cost.",
        )


def _labour(labour: tuple[LabourTerms, ...]) -> Iterator[Fault]:
    yield from _repeated(("labour",), "Labour", ((item.work, item.work) for item in labour))
    for position, item in enumerate(labour):
        for name in ("rate_per_hour", "minutes_per_piece", "minutes_per_opening"):
            value: Decimal = getattr(item, name)
            if not value.is_finite() or value < 0:
                yield Fault(
                    ("labour", position, name),
                    "negative-rate" if name == "rate_per_hour" else "negative-minutes",
                    f"Labour for {item.work}: {name.replace('_', ' ')} is {value}, below zero; "
                    "give 0 or more.",
                )


def _tax(tax: TaxTerms) -> Iterator[Fault]:
    names = [rate.name for rate in tax.classes]
    yield from _repeated(("tax", "classes"), "Tax class", ((n, quote(n)) for n in names))
    for position, rate in enumerate(tax.classes):
        yield from _percent(
            ("tax", "classes", position, "percent"), f"The rate of {quote(rate.name)}", rate.percent
        )
    yield from _known_class(("tax", "usual"), tax.usual, names)
    yield from _repeated(
        ("tax", "by_kind"), "The tax class", ((kind, kind) for kind, _ in tax.by_kind)
    )
    for position, (_, name) in enumerate(tax.by_kind):
        yield from _known_class(("tax", "by_kind", position, "tax_class"), name, names)


def _known_class(path: Path, name: str, names: list[str]) -> Iterator[Fault]:
    if name not in names:
        known = ", ".join(quote(known) for known in names) or "none"
        yield Fault(
            path,
            "unknown-tax-class",
            f"Tax class {quote(name)} is not in the rate table ({known}); name one that is, or add "
            "it there.",
        )


def _discounts(discounts: tuple[Discount, ...], unit: Decimal) -> Iterator[Fault]:
    for position, discount in enumerate(discounts):
        path: Path = ("discounts", position)
        what = f"Discount {quote(discount.name)}"
        yield from _one_of_two(path, what, discount)
        if discount.percent is not None:
            yield from _percent((*path, "percent"), what, discount.percent)
        if discount.amount is not None:
            yield from _amount((*path, "amount"), what, discount.amount, unit)
            if discount.of is not None:
                yield Fault(
                    (*path, "of"),
                    "amount-of-kind",
                    f"{what} is a fixed amount and is limited to {discount.of}; fixed amounts are "
                    "of the order: give a percentage, or leave the kind out.",
                )


def _step(terms: Terms, unit: Decimal) -> Iterator[Fault]:
    step = terms.rounding.step
    if step is None:
        return
    whole = step.is_finite() and step > 0 and (Fraction(step) / Fraction(unit)).denominator == 1
    if not whole:
        yield Fault(
            ("rounding", "step"),
            "step-not-in-minor-units",
            f"The step of rounding is {step}; give a whole number of minor units ({unit}) above 0.",
        )


def _deposits(terms: Terms, unit: Decimal) -> Iterator[Fault]:
    for position, deposit in enumerate(terms.deposits):
        path: Path = ("deposits", position)
        what = f"Deposit {position + 1}"
        yield from _one_of_two(path, what, deposit)
        if deposit.percent is not None:
            yield from _percent((*path, "percent"), what, deposit.percent)
        if deposit.amount is not None:
            yield from _amount((*path, "amount"), what, deposit.amount, unit)
        if deposit.due < terms.issued:
            yield Fault(
                (*path, "due"),
                "due-before-issue",
                f"{what} is due on {deposit.due}, before the day of issue, {terms.issued}; give "
                "that day or a later one.",
            )
    percent = sum((d.percent for d in terms.deposits if d.percent is not None), Decimal(0))
    if percent.is_finite() and percent > 100:
        yield Fault(
            ("deposits",),
            "deposits-over-total",
            f"The deposits come to {percent} % of the total; give 100 % or less together.",
        )


def _one_of_two(path: Path, what: str, stated: Discount | Deposit) -> Iterator[Fault]:
    if (stated.percent is None) == (stated.amount is None):
        both = "both a percentage and an amount" if stated.percent is not None else "neither"
        yield Fault(
            path,
            "percent-or-amount",
            f"{what} states {both}; give a percentage or an amount.",
        )


def _percent(path: Path, what: str, percent: Decimal) -> Iterator[Fault]:
    if not percent.is_finite() or not 0 <= percent <= 100:
        yield Fault(path, "percent-out-of-range", f"{what} is {percent} %; give 0 to 100 %.")


def _amount(path: Path, what: str, amount: Decimal, unit: Decimal) -> Iterator[Fault]:
    whole = amount.is_finite() and (Fraction(amount) / Fraction(unit)).denominator == 1
    if not whole or amount < 0:
        yield Fault(
            path,
            "amount-not-in-minor-units",
            f"{what} is {amount}; give 0 or more in whole minor units ({unit}).",
        )


def _repeated(path: Path, what: str, keys: Iterable[tuple[str | LineKind, str]]) -> Iterator[Fault]:
    seen: Counter[str] = Counter()
    for position, (key, name) in enumerate(keys):
        seen[key] += 1
        if seen[key] == 2:
            yield Fault(
                (*path, position),
                "stated-twice",
                f"{what} {'for ' if what[-1] != 's' else ''}{name} is stated twice; state it once.",
            )
