"""The lengths of an order's pieces, looked at before anything is taken off."""

from collections.abc import Iterator, Mapping

from optimiser.domain.faults import Fault
from optimiser.domain.opening import Opening
from optimiser.domain.order import Order
from optimiser.rule_sets import RuleSet
from optimiser.takeoff.pieces import choose_rules, lengths_of, what_chooses_rules
from optimiser.takeoff.rule_faults import find_length_faults

Path = tuple[str | int, ...]

MOST_PIECES = 1_000_000
"""The most entries of pieces over all marks. The built-in rule sets stay below it at 50,000
marks; rule sets of many rules over many marks would fill the memory."""


class PieceLengths:
    """Works out the lengths of one opening after the other, each size once, and counts them.

    `most` is how many distinct lengths the order may have over all materials, `None` for any
    number. Past that, or past `MOST_PIECES`, nothing more is measured.
    """

    def __init__(self, order: Order, rule_sets: Mapping[str, RuleSet], most: int | None) -> None:
        self._order = order
        self._rule_sets = rule_sets
        self._most = most
        self._of_size: dict[tuple[object, ...], tuple[tuple[str, int], ...]] = {}
        self._counted: set[tuple[object, ...]] = set()
        self._lengths: set[tuple[str, str, int]] = set()
        self._pieces = 0
        self._too_many = False

    def find_faults(self, path: Path, opening: Opening) -> Iterator[Fault]:
        """Yield what is wrong with the lengths of an opening whose values are sound.

        Openings of one size share their faults: the first of them has them.
        """
        if self._too_many:
            return
        size = (
            *what_chooses_rules(opening),
            opening.width_nm,
            opening.height_nm,
            opening.size_of,
            opening.lower_height_nm,
            opening.inactive_leaf_width_nm,
        )
        if size not in self._of_size:
            lengths = [
                (chosen, length)
                for chosen in choose_rules(opening, self._rule_sets)
                for length in lengths_of(chosen, opening, self._order.policy)
            ]
            self._of_size[size] = tuple(
                (chosen.rule.product, length.length_nm) for chosen, length in lengths
            )
            yield from find_length_faults(path, opening, lengths, self._order.unit)
        self._pieces += len(self._of_size[size])
        if self._pieces > MOST_PIECES:
            self._too_many = True
            yield Fault(
                ("openings",),
                "too-many-pieces",
                f"The marks up to {opening.mark} have {self._pieces:,} entries of pieces, above "
                f"the limit of {MOST_PIECES:,} for an order; split the order, or use rule sets of "
                "fewer rules.",
            )
        elif self._most is not None:
            yield from self._count(opening, size, self._most)

    def _count(self, opening: Opening, size: tuple[object, ...], most: int) -> Iterator[Fault]:
        key = (size, opening.finish, opening.finishes)
        if key in self._counted:
            return
        self._counted.add(key)
        self._lengths.update(
            (product, opening.finish_of(product), length_nm)
            for product, length_nm in self._of_size[size]
        )
        if len(self._lengths) > most:
            self._too_many = True
            yield Fault(
                ("openings",),
                "too-many-lengths",
                f"The pieces up to opening {opening.mark} have {len(self._lengths):,} distinct "
                f"lengths, above the limit of {most:,} for an order; split the order.",
            )
