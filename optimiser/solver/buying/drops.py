"""The credit of a bar by the weight cut from it, as steps."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.buying import CostRate, KeptDrops
from optimiser.domain.kept_drops import credit_drop


@dataclass(frozen=True, slots=True)
class Drops:
    """The drop of a bar by the weight on it."""

    length_nm: int
    usable_nm: int
    measure: int
    capacity: int

    def credit_steps(
        self, keep: KeptDrops, rate: CostRate, currency: str, *, whole: bool
    ) -> tuple[tuple[int, Decimal], ...]:
        """Return (most weight, credit) of each step; the weight rises and the credit falls."""
        steps: list[tuple[int, Decimal]] = []
        if whole:
            steps.append((0, credit_drop(self.length_nm, keep.least_nm, rate, currency)))
        used = 1
        while used <= self.capacity:
            credit = credit_drop(
                self.usable_nm - used * self.measure, keep.least_nm, rate, currency
            )
            if not credit:
                break
            last = self._last_with(credit, used, keep, rate, currency)
            steps.append((last, credit))
            used = last + 1
        return tuple(steps)

    def _last_with(
        self, credit: Decimal, used: int, keep: KeptDrops, rate: CostRate, currency: str
    ) -> int:
        """Return the most weight that leaves at least a credit."""
        least_nm = Fraction(credit) * rate.per_nm / Fraction(rate.price)
        least = max(-(-least_nm.numerator // least_nm.denominator), keep.least_nm, 1)
        return min(self.capacity, max(used, (self.usable_nm - least) // self.measure))
