"""What is cut in a CP-SAT model: splices, bars and offcuts, and the credit of kept drops.

Shares no code with the library. Bars are cut one by one, or, where few patterns fit, by as many
bars of each pattern: both are exact, and the second is proved sooner.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator

from ortools.sat.python import cp_model

from tests.oracle.buying_ledger import Expr, Ledger
from tests.oracle.small_orders import Door

MOST_PATTERNS = 4_000


class Cuts:
    """The pieces wanted and given, by finish and length; `most` is the most that is wanted."""

    def __init__(self, ledger: Ledger) -> None:
        self.ledger, self.order, self.base = ledger, ledger.order, ledger.order.base
        self.model, self.cost = ledger.model, ledger.cost
        self.wanted: dict[str, dict[int, list[Expr]]] = defaultdict(lambda: defaultdict(list))
        self.given: dict[str, dict[int, list[Expr]]] = defaultdict(lambda: defaultdict(list))
        self.most: dict[str, Counter[int]] = defaultdict(Counter)
        self._spliceable: dict[str, dict[int, list[Expr]]] = defaultdict(lambda: defaultdict(list))
        self._most_spliced: dict[str, Counter[int]] = defaultdict(Counter)

    def want(self, door: Door, finish: str, cut: cp_model.IntVar) -> None:
        """Ask for the pieces of so many doors in a finish."""
        for length, count in Counter(door.pieces()).items():
            self.wanted[finish][length].append(count * cut)
            self.most[finish][length] += count * door.quantity
        if self.order.splices is None:
            return
        for length, count in _spliceable(door, self.order.splices.least_head).items():
            self._spliceable[finish][length].append(count * cut)
            self._most_spliced[finish][length] += count * door.quantity

    def write(self) -> None:
        """Splice, cut, and give what is wanted: no piece more and none less."""
        for finish in list(self.wanted):
            self._splice(finish)
        for finish in self.most:
            self._cut_bars(finish)
            self._cut_offcuts(finish)
            for length in self.most[finish]:
                given, wanted = self.given[finish][length], self.wanted[finish][length]
                self.model.add(sum(given) == sum(wanted))

    def _splice(self, finish: str) -> None:
        rule = self.order.splices
        if rule is None:
            return
        for length, terms in self._spliceable[finish].items():
            most, spliced = self._most_spliced[finish][length], []
            for first in range(rule.step, length, rule.step):
                second = length - first
                if min(first, second) < rule.least_segment:
                    continue
                if second % rule.step == 0 and second > first:
                    continue
                made = self.model.new_int_var(0, most, "")
                spliced.append(made)
                self.cost.append(rule.cents * made)
                self.given[finish][length].append(made)
                for segment in (first, second):
                    self.wanted[finish][segment].append(made)
                    self.most[finish][segment] += most
            self.model.add(sum(spliced) <= sum(terms))

    def _cut_bars(self, finish: str) -> None:
        for bar, terms in zip(self.base.bars, self.order.bar_terms, strict=True):
            if bar.finish != finish:
                continue
            usable = bar.length - 2 * self.base.trim
            bars = sum(n for length, n in self.most[finish].items() if length <= usable)
            if not bars:
                continue
            bought = self.ledger.buy(
                terms,
                bar.cents,
                needed=-(-bars // terms.bars),
                multiple=bar.multiple,
                longest=bar.length,
            )
            used = self._fill(finish, usable, bars, None)
            self.model.add(used <= terms.bars * bought)
            if self.order.keep is not None:
                worth = self._credit(bar.length, None)
                self.cost.append(-worth * (terms.bars * bought - used))

    def _cut_offcuts(self, finish: str) -> None:
        for rest in self.order.rack:
            if rest.finish == finish:
                used = self._fill(finish, rest.length, rest.quantity, (rest.cents, rest.length))
                self.model.add(used <= rest.quantity)
                self.cost.append(rest.cents * used)

    def _fill(self, finish: str, usable: int, bars: int, own: tuple[int, int] | None) -> Expr:
        """Return the number of bars cut; their pieces, cuts and credits are booked."""
        fits = sorted((length for length in self.most[finish] if length <= usable), reverse=True)
        room, kerf, listed = usable + self.base.kerf, self.base.kerf, []
        for pattern in _patterns(fits, self.most[finish], room, kerf):
            listed.append(pattern)
            if len(listed) > MOST_PATTERNS:
                return self._fill_one_by_one(finish, fits, usable, bars, own)
        number = []
        for pattern in listed:
            times = self.model.new_int_var(0, bars, "")
            number.append(times)
            pieces = sum(pattern.values())
            weight = sum((length + kerf) * count for length, count in pattern.items())
            credit = self._credit(usable - weight, own)
            self.cost.append((self.order.cut_cents * pieces - credit) * times)
            for length, count in pattern.items():
                self.given[finish][length].append(count * times)
        return sum(number)

    def _fill_one_by_one(
        self, finish: str, fits: list[int], usable: int, bars: int, own: tuple[int, int] | None
    ) -> Expr:
        room, kerf = usable + self.base.kerf, self.base.kerf
        worths = [self._credit(usable - weight, own) for weight in range(room + 1)]
        used_all: list[cp_model.IntVar] = []
        for _ in range(bars):
            used = self.model.new_bool_var("")
            if used_all:
                self.model.add_implication(used, used_all[-1])
            used_all.append(used)
            held, number = [], []
            for length in fits:
                most = min(room // (length + kerf), self.most[finish][length])
                count = self.model.new_int_var(0, most, "")
                self.given[finish][length].append(count)
                held.append((length + kerf) * count)
                number.append(count)
            self.model.add(sum(number) >= used)
            self.cost.append(self.order.cut_cents * sum(number))
            weight = self.model.new_int_var(0, room, "")
            self.model.add(weight == sum(held))
            self.model.add(weight <= room * used)
            if self.order.keep is not None:
                worth = self.model.new_int_var(0, max(worths), "")
                self.model.add_element(weight, worths, worth)
                counted = self.model.new_int_var(0, max(worths), "")
                self.model.add(counted <= worth)
                self.model.add(counted <= max(worths) * used)
                self.cost.append(-counted)
        return sum(used_all)

    def _credit(self, drop: int, own: tuple[int, int] | None) -> int:
        if self.order.keep is None:
            return 0
        least, cents, per = self.order.keep
        if drop <= 0 or drop < least:
            return 0
        if own is not None and own[0] * per < cents * own[1]:
            cents, per = own
        return cents * drop // per


def _patterns(
    lengths: list[int], most: Counter[int], room: int, kerf: int
) -> Iterator[dict[int, int]]:
    """Yield every way to cut one bar that gives a piece at all."""

    def extend(place: int, left: int, held: dict[int, int]) -> Iterator[dict[int, int]]:
        if place == len(lengths):
            if held:
                yield held
            return
        length = lengths[place]
        for count in range(min(most[length], left // (length + kerf)) + 1):
            more = {**held, length: count} if count else held
            yield from extend(place + 1, left - count * (length + kerf), more)

    return extend(0, room, {})


def _spliceable(door: Door, least_head: int) -> Counter[int]:
    """Return the jambs and the heads that may be spliced; meeting members may not."""
    leaf = door.width // 2
    jambs = [door.height] * (2 if door.pair else 3)
    heads = [door.width, leaf, leaf] if door.pair else [door.width] * 2
    return Counter([*jambs, *(head for head in heads if head >= least_head)])
