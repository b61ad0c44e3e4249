"""From the terms of a quote on the wire to those of the domain, with every fault at once."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from optimiser.domain import quote_terms as domain
from optimiser.domain.faults import Fault
from optimiser.quote import find_terms_faults
from optimiser.units.money import is_currency
from service.mapping.faults import look_up
from service.mapping.validation import validate
from service.wire import quote_terms as wire

TERMS = "terms"
"""The member of an order that holds the terms."""


COMPARE_DAYS = frozenset({"validity-before-issue", "due-before-issue"})
"""The codes of faults that compare two days."""


def read_terms_of_order(raw: Any) -> tuple[domain.Terms | None, tuple[Fault, ...]]:
    """Return the terms in an order as it was sent, and what is wrong with them.

    Without terms that can be read the first is `None`. Paths lead from the order.
    """
    currency = look_up(raw, ("catalogues", 0, "currency"))
    if not isinstance(currency, str) or not is_currency(currency):
        # The order is refused for that; minor units are those of most currencies.
        currency = "USD"
    terms, faults = read_terms(look_up(raw, (TERMS,)), currency)
    return terms, under_terms(faults)


def read_terms(raw: Any, currency: str) -> tuple[domain.Terms | None, tuple[Fault, ...]]:
    """Return terms as they were sent for a plan in a currency, and what is wrong with them.

    Without terms that can be read the first is `None`. Paths lead from the terms.
    """
    validated = validate(wire.QuoteTerms, raw)
    if isinstance(validated, list):
        return None, tuple(validated)
    terms = to_terms(validated)
    faults = find_terms_faults(terms, currency)
    not_there = tuple(_find_days_not_there(validated))
    if not_there:
        # What a stand-in comes before or after says nothing.
        faults = tuple(fault for fault in faults if fault.code not in COMPARE_DAYS)
    return terms, (*not_there, *faults)


def to_terms(terms: wire.QuoteTerms) -> domain.Terms:
    """Return the terms of the domain; a day that is not there is stood in for by the 28th."""
    return domain.Terms(
        issued=_to_day(terms.issued),
        valid_until=_to_day(terms.valid_until),
        number=terms.number,
        customer=terms.customer,
        addition=_to_addition(terms.addition),
        additions=tuple((item.kind, _to_addition(item)) for item in terms.additions),
        labour=tuple(
            domain.LabourTerms(
                work=item.work,
                rate_per_hour=Decimal(item.rate_per_hour),
                minutes_per_piece=Decimal(item.minutes_per_piece),
                minutes_per_opening=Decimal(item.minutes_per_opening),
            )
            for item in terms.labour
        ),
        freight_passed_on_percent=Decimal(terms.freight_passed_on_percent),
        drop_credits=terms.drop_credits,
        tax=None if terms.tax is None else _to_tax(terms.tax),
        discounts=tuple(
            domain.Discount(
                name=item.name,
                percent=_to_decimal(item.percent),
                amount=_to_decimal(item.amount),
                of=item.of,
            )
            for item in terms.discounts
        ),
        rounding=domain.RoundingTerms(
            rule=terms.rounding.rule, step=_to_decimal(terms.rounding.step)
        ),
        deposits=tuple(
            domain.Deposit(
                due=_to_day(item.due),
                percent=_to_decimal(item.percent),
                amount=_to_decimal(item.amount),
            )
            for item in terms.deposits
        ),
    )


def _to_addition(addition: wire.QuoteAddition) -> domain.Addition:
    return domain.Addition(basis=addition.basis, percent=Decimal(addition.percent))


def _to_tax(tax: wire.QuoteTaxTerms) -> domain.TaxTerms:
    return domain.TaxTerms(
        classes=tuple(
            domain.TaxClass(name=rate.name, percent=Decimal(rate.percent)) for rate in tax.classes
        ),
        usual=tax.usual,
        by_kind=tuple((item.kind, item.tax_class) for item in tax.by_kind),
        rounding=tax.rounding,
    )


def _to_day(stated: str) -> date:
    try:
        return date.fromisoformat(stated)
    except ValueError:
        year, month, _ = stated.split("-")
        return date(max(int(year), 1), int(month), 28)


def _to_decimal(value: Any) -> Decimal | None:
    return None if value is None else Decimal(value)


def _find_days_not_there(terms: wire.QuoteTerms) -> Iterable[Fault]:
    """Yield a fault for each day that its form allows and the calendar does not have."""
    stated: list[tuple[tuple[str | int, ...], str]] = [
        (("issued",), terms.issued),
        (("valid_until",), terms.valid_until),
        *((("deposits", n, "due"), item.due) for n, item in enumerate(terms.deposits)),
    ]
    for path, day in stated:
        try:
            date.fromisoformat(day)
        except ValueError:
            message = f"{path[-1]}: {day!r} is no day of the calendar; correct it."
            yield Fault(path, "no-such-day", message)


def under_terms(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Return faults of terms with paths that lead from the order."""
    return tuple(Fault((TERMS, *fault.path), fault.code, fault.message) for fault in faults)
