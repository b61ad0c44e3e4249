"""What a kept drop is credited at: the only place with the rule."""

from decimal import Decimal
from fractions import Fraction
from math import floor

from optimiser.domain.buying import CostRate, KeptDrops
from optimiser.domain.rack import Offcut
from optimiser.units.money import minor_digits


def credit_drop(drop_nm: int, least_nm: int, rate: CostRate, currency: str) -> Decimal:
    """Return the credit of one drop, in whole minor units, rounded down.

    Drops shorter than `least_nm`, and none at all, are credited nothing.
    """
    if drop_nm <= 0 or drop_nm < least_nm:
        return Decimal(0)
    digits = minor_digits(currency)
    minor_units = floor(Fraction(rate.price) * drop_nm / rate.per_nm * 10**digits)
    return Decimal(minor_units).scaleb(-digits)


def credit_rate_of_offcut(keep: KeptDrops, offcut: Offcut) -> CostRate:
    """Return the rate at which the rest of an offcut is credited.

    It is never worth more for its length than the offcut was: cutting a little off a cheap
    offcut earns nothing.
    """
    own = Fraction(offcut.value) / offcut.length_nm
    if own < Fraction(keep.credit.price) / keep.credit.per_nm:
        return CostRate(price=offcut.value, per_nm=offcut.length_nm)
    return keep.credit
