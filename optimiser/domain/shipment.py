"""A shipment: what one supplier sends and asks for it."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.buying import FreightBasis


@dataclass(frozen=True, slots=True, kw_only=True)
class Shipment:
    """What one supplier sends: the value of the goods, their weight and the freight.

    `weight_g` is `None` where an article states no weight. `basis` is what freight goes by,
    `None` where the supplier asks for none; `tier_from`, in grams or money as the basis says, is
    where the tier reached begins. `charge` is the charge of that tier, zero where the shipment is
    `free`: where goods reach `free_from`, the supplier's threshold if there is one. `over_length`
    pairs each limit in nanometres that is passed with its surcharge. `least_order` is the least
    value of goods that the supplier takes an order of.
    """

    supplier: str
    goods: Decimal
    weight_g: Fraction | None = None
    basis: FreightBasis | None = None
    tier_from: Fraction | None = None
    charge: Decimal = Decimal(0)
    free_from: Decimal | None = None
    free: bool = False
    over_length: tuple[tuple[int, Decimal], ...] = ()
    least_order: Decimal = Decimal(0)

    @property
    def tier_from_g(self) -> Fraction | None:
        """Return the grams from which the tier reached holds, with freight by weight."""
        return self.tier_from if self.basis is FreightBasis.WEIGHT else None

    @property
    def tier_from_value(self) -> Decimal | None:
        """Return the value of goods from which the tier reached holds, with freight by value."""
        if self.tier_from is None or self.basis is not FreightBasis.VALUE:
            return None
        return Decimal(self.tier_from.numerator) / Decimal(self.tier_from.denominator)

    @property
    def total(self) -> Decimal:
        """Return goods, freight and surcharges together: what the supplier is paid."""
        return self.goods + self.charge + sum((paid for _, paid in self.over_length), Decimal(0))
