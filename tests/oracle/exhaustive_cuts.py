"""Every way to cut the pieces of a tiny order, as exhaustive search tries them."""

from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import combinations_with_replacement, product

from tests.oracle.buying_orders import BuyingOrder

Used = tuple[int, ...]
"""Bars used per stock length and then offcuts used per entry of the rack."""


def worth_of_drop(order: BuyingOrder, drop: int, offcut: tuple[int, int] | None = None) -> int:
    """Return the credit of a drop, of an offcut of (cents, length) if it is one's."""
    if order.keep is None or drop < max(1, order.keep[0]):
        return 0
    _, cents, per = order.keep
    worth = cents * drop // per
    if offcut is not None:
        worth = min(worth, offcut[0] * drop // offcut[1])
    return worth


class Layouts:
    """The layouts of pieces on the bars and offcuts of an order."""

    def __init__(self, order: BuyingOrder) -> None:
        self.order, self.base = order, order.base
        self.nothing: Used = (0,) * (len(order.base.bars) + len(order.rack))
        self._lay = cache(self._lay_out)

    def cut(self, finish: str, pieces: list[int]) -> dict[Used, int]:
        """Return the least of cuts, splices and credits for each way to use up bars."""
        found: dict[Used, int] = {}
        for spliced, cents in self._splice(pieces):
            for used, net in self._lay(finish, tuple(sorted(spliced, reverse=True))).items():
                found[used] = min(found.get(used, net + cents), net + cents)
        return found

    def _splice(self, pieces: list[int]) -> Iterator[tuple[list[int], int]]:
        """Yield what is cut and what the splices cost, for single doors."""
        rule = self.order.splices
        heights = {door.height for door in self.base.doors}
        choices = []
        for length, count in Counter(pieces).items():
            ways: list[tuple[int, ...]] = [(length,)]
            if rule is not None and (length in heights or length >= rule.least_head):
                for first in range(rule.least_segment, length - rule.least_segment + 1):
                    second = length - first
                    if first <= second and (first % rule.step == 0 or second % rule.step == 0):
                        ways.append((first, second))
            choices.append(list(combinations_with_replacement(ways, count)))
        for chosen in product(*choices):
            made = [way for ways in chosen for way in ways]
            cents = rule.cents if rule is not None else 0
            yield [n for way in made for n in way], cents * sum(len(way) == 2 for way in made)

    def _lay_out(self, finish: str, left: tuple[int, ...]) -> dict[Used, int]:
        """Return the least of cut charges less credits for each number of bars used."""
        if not left:
            return {self.nothing: 0}
        found: dict[Used, int] = {}
        first, others = left[0], left[1:]
        for companions in _subsets(others):
            remaining = list(others)
            for length in companions:
                remaining.remove(length)
            cuts = len(companions) + 1
            weight = first + sum(companions) + self.base.kerf * cuts
            places = list(self._places(finish, weight))
            if not places:
                continue
            for used, net in self._lay(finish, tuple(remaining)).items():
                for place, credit in places:
                    more = (*used[:place], used[place] + 1, *used[place + 1 :])
                    cost = net + cuts * self.order.cut_cents - credit
                    found[more] = min(found.get(more, cost), cost)
        return found

    def _places(self, finish: str, weight: int) -> Iterator[tuple[int, int]]:
        """Yield where a weight fits, each with the credit of its drop."""
        for place, bar in enumerate(self.base.bars):
            drop = bar.length - 2 * self.base.trim - weight
            if bar.finish == finish and drop + self.base.kerf >= 0:
                yield place, worth_of_drop(self.order, drop)
        for place, rest in enumerate(self.order.rack, start=len(self.base.bars)):
            drop = rest.length - weight
            if rest.finish == finish and drop + self.base.kerf >= 0:
                yield place, worth_of_drop(self.order, drop, (rest.cents, rest.length))


def _subsets(pieces: tuple[int, ...]) -> set[tuple[int, ...]]:
    found: set[tuple[int, ...]] = {()}
    for length in pieces:
        found |= {(*subset, length) for subset in found}
    return found
