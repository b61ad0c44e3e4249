"""Tax on top of the net price, by a rate table."""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.quote import ChargedTax
from optimiser.domain.quote_terms import LineKind, RoundingRule, TaxRounding, TaxTerms
from optimiser.quote.rounding import round_to_step


def charge_tax(
    nets: Iterable[tuple[LineKind, Decimal]],
    tax: TaxTerms | None,
    unit: Decimal,
    rule: RoundingRule,
) -> tuple[ChargedTax, ...]:
    """Return the tax of each class that has a line, in the order of the rate table.

    `nets` pairs each line with its part of the net price; `unit` is a minor unit.
    """
    if tax is None:
        return ()
    by_class: dict[str, list[Decimal]] = defaultdict(list)
    for kind, net in nets:
        by_class[tax.class_of(kind)].append(net)
    charged = []
    for rate in tax.classes:
        taxed = by_class.get(rate.name, [])
        if not taxed:
            continue
        taxable = sum(taxed, Decimal(0))
        rounded_apart = taxed if tax.rounding is TaxRounding.LINE else [taxable]
        part = Fraction(rate.percent) / 100
        amounts = (round_to_step(Fraction(net) * part, unit, rule) for net in rounded_apart)
        charged.append(
            ChargedTax(
                name=rate.name,
                percent=rate.percent,
                taxable=taxable,
                amount=sum(amounts, Decimal(0)),
            )
        )
    return tuple(charged)
