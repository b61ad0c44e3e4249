"""Where the decision flips along one number, and which inputs matter most."""

from dataclasses import dataclass
from decimal import Decimal

from optimiser.domain.study import StudyRow

Bought = tuple[tuple[str, str, int], ...]
"""What is bought: supplier, SKU and quantity, in that order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flip:
    """The decision changes between two neighbouring values of the axis.

    At `low` what was decided below still costs no more than anything else; at `high`, one step
    on, it costs `staying` more than the cheapest plan, or is no plan any more (`None`). `even`
    says that at `low` both decisions cost the same. `below` and `above` are the two decisions,
    `None` where there is no plan. `proved` says that the cost at `low` is proved to be the least;
    that the old decision is beaten at `high` needs no proof.
    """

    low: Decimal
    high: Decimal
    below: Bought | None
    above: Bought | None
    cost_low: Decimal | None
    cost_high: Decimal | None
    staying: Decimal | None = None
    even: bool = False
    proved: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven:
    """The flips along an axis from its low end, and every point that was solved, by its value.

    `searched_to` is how far the search came: the high end, unless there were too many flips or
    too little time. `watched` are the SKUs that make up the decision; empty for all. `money` says
    that the values are amounts in the order's currency.
    """

    axis: str
    low: Decimal
    high: Decimal
    step: Decimal
    flips: tuple[Flip, ...]
    curve: tuple[tuple[Decimal, StudyRow], ...]
    searched_to: Decimal
    watched: tuple[str, ...] = ()
    money: bool = False

    @property
    def complete(self) -> bool:
        """Return whether the whole axis was searched."""
        return self.searched_to == self.high


@dataclass(frozen=True, slots=True, kw_only=True)
class Influence:
    """What moving one input down and up does to the cost.

    `swing` is the highest less the lowest cost of the three, `None` where one has none.
    """

    name: str
    low_value: str
    base_value: str
    high_value: str
    low: StudyRow
    high: StudyRow
    swing: Decimal | None
