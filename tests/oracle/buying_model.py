"""Orders with all terms of buying as a CP-SAT model: bars one by one, no patterns.

Shares no code with the library: plain integers in, a bracket of the least cost in cents out.
Prices by quantity are looked up in tables (element constraints), freight by comparing amounts;
nothing is written as levels with switches.
"""

from collections import Counter, defaultdict

from ortools.sat.python import cp_model

from tests.oracle.buying_orders import BuyingOrder, FreightTerms, Terms
from tests.oracle.small_orders import Door

Expr = cp_model.LinearExprT
GRAMS_PER_16_IN = 40


class Infeasible(Exception):
    """CP-SAT shows that no plan exists."""


def table_cost(terms: Terms, cents: int, quantity: int) -> int:
    """Return what a quantity costs, unit by unit."""
    steps = [(1, cents), *terms.steps]
    if not terms.incremental:
        return quantity * [price for start, price in steps if start <= max(1, quantity)][-1]
    return sum(
        [price for start, price in steps if start <= unit][-1] for unit in range(1, quantity + 1)
    )


class Model:
    """The model of one order."""

    def __init__(self, order: BuyingOrder) -> None:
        self.order, self.base = order, order.base
        self.model = cp_model.CpModel()
        self.cost: list[Expr] = []
        self.nails: list[Expr] = []
        suppliers = range(len(order.freight))
        self.goods: list[list[Expr]] = [[] for _ in suppliers]
        self.grams: list[list[Expr]] = [[] for _ in suppliers]
        self.bought: list[list[tuple[cp_model.IntVar, int]]] = [[] for _ in suppliers]
        self.pieces: dict[str, dict[int, list[Expr]]] = defaultdict(lambda: defaultdict(list))
        self.most: dict[str, Counter[int]] = defaultdict(Counter)
        self.given: dict[str, dict[int, list[Expr]]] = defaultdict(lambda: defaultdict(list))
        self.openings = sum(door.quantity for door in self.base.doors)

    def bracket(self, effort: float) -> tuple[int, int]:
        """Return (lower bound, cost found) in cents."""
        self._serve_doors()
        self._splice()
        self._cut()
        self._buy_packs()
        self._take_from_rack()
        self.model.add(sum(self.nails) >= self.base.nails_needed())
        for supplier, freight in enumerate(self.order.freight):
            self._ship(supplier, freight)
        self.model.minimize(sum(self.cost))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = effort
        status = solver.solve(self.model)
        if status == cp_model.INFEASIBLE:
            raise Infeasible
        if status == cp_model.UNKNOWN:
            return -(10**9), 10**9
        return round(solver.best_objective_bound), round(solver.objective_value)

    def _article(
        self, terms: Terms, cents: int, multiple: int, most: int, longest: int
    ) -> cp_model.IntVar:
        """Return the units bought; cost, goods and weight are booked."""
        limit = most if terms.available is None else min(most, terms.available)
        allowed = [0, *(q for q in range(multiple, limit + 1, multiple) if q >= terms.least)]
        units = self.model.new_int_var_from_domain(cp_model.Domain.from_values(allowed), "")
        table = [table_cost(terms, cents, q) for q in range(max(allowed) + 1)]
        paid = self.model.new_int_var(0, max(table), "")
        self.model.add_element(units, table, paid)
        self.cost.append(paid)
        self.goods[terms.supplier].append(paid)
        self.grams[terms.supplier].append(terms.grams * 256 * units)
        self.bought[terms.supplier].append((units, longest))
        return units

    def _beyond(self, terms: Terms, cents: int, multiple: int) -> int:
        """Return units that may be bought only to reach a threshold of the supplier."""
        freight, least = self.order.freight[terms.supplier], self.order.least_order[terms.supplier]
        lowest = min([cents, *(price for _, price in terms.steps)])
        goods = max(least, (freight.free_from or 0) if freight else 0)
        falls = freight is not None and any(
            later[1] < sooner[1]
            for sooner, later in zip(freight.tiers, freight.tiers[1:], strict=False)
        )
        units = 0
        if falls and freight is not None:
            last = freight.tiers[-1][0]
            if freight.by_value:
                goods = max(goods, last)
            elif terms.grams:
                units = -(-last // terms.grams)
        if lowest:
            units = max(units, -(-goods // lowest))
        starts = [start for start, _ in terms.steps]
        return units + max([terms.least, *starts]) + multiple

    def _ways(self, door: Door) -> list[tuple[str, int]]:
        return [(door.finish, 0)] + [
            (instead, preference)
            for wanted, instead, preference in self.order.substitutions
            if wanted == door.finish
        ]

    def _serve_doors(self) -> None:
        model, base = self.model, self.base
        kits: list[list[tuple[cp_model.IntVar, int]]] = [[] for _ in base.kits]
        standard: list[list[cp_model.IntVar]] = [[] for _ in self.order.standard]
        self.cuts: dict[tuple[int, str], cp_model.IntVar] = {}
        for number, door in enumerate(base.doors):
            served = []
            for finish, preference in self._ways(door):
                as_if = Door(
                    door.width,
                    door.height,
                    door.quantity,
                    finish,
                    door.spacing,
                    door.pair,
                    door.nested,
                )
                for kit_number, kit in enumerate(base.kits):
                    terms = base.kit_terms(as_if, kit)
                    if terms is None:
                        continue
                    taken = model.new_int_var(0, door.quantity, "")
                    kits[kit_number].append((taken, terms[0]))
                    served.append(taken)
                    self.nails.append(terms[1] * taken)
                    self.cost.append(preference * taken)
                    supplier = self.order.kit_terms[kit_number].supplier
                    self.grams[supplier].append(GRAMS_PER_16_IN * sum(door.pieces()) * taken)
                    self.bought[supplier].append((taken, max(door.pieces())))
                for place, offer in enumerate(self.order.standard):
                    if offer.finish == finish and _fits(offer.lengths, door.pieces()):
                        taken = model.new_int_var(0, door.quantity, "")
                        standard[place].append(taken)
                        served.append(taken)
                        self.cost.append(preference * taken)
                cut = model.new_int_var(0, door.quantity, "")
                self.cuts[number, finish] = cut
                served.append(cut)
                self.cost.append(preference * cut)
                for length, count in Counter(door.pieces()).items():
                    self.pieces[finish][length].append(count * cut)
                    self.most[finish][length] += count * door.quantity
            model.add(sum(served) == door.quantity)
        self._price_kits(kits)
        for offer, users in zip(self.order.standard, standard, strict=True):
            most = self.openings + self._beyond(offer.terms, offer.cents, 1)
            if offer.nails:
                most += -(-self.base.nails_needed() // offer.nails)
            units = self._article(offer.terms, offer.cents, 1, most, max(offer.lengths))
            model.add(sum(users) <= units)
            self.nails.append(offer.nails * units)

    def _price_kits(self, kits: list[list[tuple[cp_model.IntVar, int]]]) -> None:
        for terms, taken in zip(self.order.kit_terms, kits, strict=True):
            if not taken:
                continue
            limit = self.openings if terms.available is None else terms.available
            allowed = [0, *range(terms.least, limit + 1)]
            total = self.model.new_int_var_from_domain(cp_model.Domain.from_values(allowed), "")
            self.model.add(total == sum(variable for variable, _ in taken))
            for variable, cents in taken:
                prices = [
                    (cents * (100 - ([0] + [p for s, p in terms.steps if s <= n])[-1]) * 2 + 100)
                    // 200
                    for n in range(max(allowed) + 1)
                ]
                price = self.model.new_int_var(0, max(prices), "")
                self.model.add_element(total, prices, price)
                paid = self.model.new_int_var(0, max(prices) * self.openings, "")
                self.model.add_multiplication_equality(paid, [price, variable])
                self.cost.append(paid)
                self.goods[terms.supplier].append(paid)

    def _splice(self) -> None:
        rule = self.order.splices
        if rule is None:
            return
        for finish in list(self.pieces):
            allowed: dict[int, list[Expr]] = defaultdict(list)
            most: Counter[int] = Counter()
            for number, door in enumerate(self.base.doors):
                cut = self.cuts.get((number, finish))
                if cut is None:
                    continue
                for length, count in _spliceable(door, rule.least_head).items():
                    allowed[length].append(count * cut)
                    most[length] += count * door.quantity
            for length, terms in allowed.items():
                spliced = []
                for first in range(rule.step, length, rule.step):
                    second = length - first
                    if min(first, second) < rule.least_segment:
                        continue
                    if second % rule.step == 0 and second > first:
                        continue
                    made = self.model.new_int_var(0, most[length], "")
                    spliced.append(made)
                    self.cost.append(rule.cents * made)
                    self.given[finish][length].append(made)
                    for segment in (first, second):
                        self.pieces[finish][segment].append(made)
                        self.most[finish][segment] += most[length]
                self.model.add(sum(spliced) <= sum(terms))

    def _cut(self) -> None:
        for finish, most in self.most.items():
            for bar, terms in zip(self.base.bars, self.order.bar_terms, strict=True):
                if bar.finish != finish:
                    continue
                usable = bar.length - 2 * self.base.trim
                bars = self._bars_needed(finish, usable)
                units = -(-bars // terms.bars) + self._beyond(terms, bar.cents, bar.multiple)
                bought = self._article(terms, bar.cents, bar.multiple, units, bar.length)
                used = self._fill(finish, usable, bars, None)
                self.model.add(sum(used) <= terms.bars * bought)
                if self.order.keep is not None:
                    worth = self._credit(bar.length, None)
                    self.cost.append(-worth * (terms.bars * bought - sum(used)))
            for rest in self.order.rack:
                if rest.finish == finish:
                    used = self._fill(finish, rest.length, rest.quantity, (rest.cents, rest.length))
                    self.cost.append(rest.cents * sum(used))
            for length in most:
                given, needed = self.given[finish][length], self.pieces[finish][length]
                self.model.add(sum(given) == sum(needed))

    def _bars_needed(self, finish: str, usable: int) -> int:
        return sum(n for length, n in self.most[finish].items() if length <= usable)

    def _fill(
        self, finish: str, usable: int, bars: int, own: tuple[int, int] | None
    ) -> list[cp_model.IntVar]:
        room, kerf = usable + self.base.kerf, self.base.kerf
        worths = [self._credit(usable - weight, own) for weight in range(room + 1)]
        used_all: list[cp_model.IntVar] = []
        for _ in range(bars):
            used = self.model.new_bool_var("")
            if used_all:
                self.model.add_implication(used, used_all[-1])
            used_all.append(used)
            held, number = [], []
            for length, most in self.most[finish].items():
                if length > usable:
                    continue
                count = self.model.new_int_var(0, min(room // (length + kerf), most), "")
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
        return used_all

    def _credit(self, drop: int, own: tuple[int, int] | None) -> int:
        if self.order.keep is None:
            return 0
        least, cents, per = self.order.keep
        if drop <= 0 or drop < least:
            return 0
        if own is not None and own[0] * per < cents * own[1]:
            cents, per = own
        return cents * drop // per

    def _buy_packs(self) -> None:
        needed = self.base.nails_needed()
        for pack, terms in zip(self.base.packs, self.order.pack_terms, strict=True):
            most = -(-needed // pack.low) + self._beyond(terms, pack.cents, pack.multiple)
            units = self._article(terms, pack.cents, pack.multiple, most, 0)
            self.nails.append(pack.low * units)

    def _take_from_rack(self) -> None:
        count, cents = self.order.on_hand
        taken = self.model.new_int_var(0, count, "")
        self.nails.append(taken)
        self.cost.append(cents * taken)

    def _ship(self, supplier: int, freight: FreightTerms | None) -> None:
        model, any_bought = self.model, self.model.new_bool_var("")
        for units, _ in self.bought[supplier]:
            model.add(units == 0).only_enforce_if(~any_bought)
        model.add(sum(units for units, _ in self.bought[supplier]) >= 1).only_enforce_if(any_bought)
        goods = sum(self.goods[supplier])
        model.add(goods >= self.order.least_order[supplier]).only_enforce_if(any_bought)
        if freight is None:
            return
        for limit, cents in freight.over:
            long = model.new_bool_var("")
            for units, longest in self.bought[supplier]:
                if longest > limit:
                    model.add(units == 0).only_enforce_if(~long)
            self.cost.append(cents * long)
        free = model.new_bool_var("")
        if freight.free_from is None:
            model.add(free == 0)
        else:
            model.add(goods >= freight.free_from).only_enforce_if(free)
            model.add(goods < freight.free_from).only_enforce_if(~free)
        amount = goods if freight.by_value else sum(self.grams[supplier])
        scale = 1 if freight.by_value else 256
        charge = model.new_int_var(0, max(cents for _, cents in freight.tiers), "")
        for place, (start, cents) in enumerate(freight.tiers):
            here = model.new_bool_var("")
            at_least, below = model.new_bool_var(""), model.new_bool_var("")
            model.add(amount >= start * scale).only_enforce_if(at_least)
            model.add(amount < start * scale).only_enforce_if(~at_least)
            if place + 1 < len(freight.tiers):
                end = freight.tiers[place + 1][0] * scale
                model.add(amount < end).only_enforce_if(below)
                model.add(amount >= end).only_enforce_if(~below)
            else:
                model.add(below == 1)
            model.add_bool_and(at_least, below, any_bought, ~free).only_enforce_if(here)
            model.add_bool_or(~at_least, ~below, ~any_bought, free).only_enforce_if(~here)
            model.add(charge >= cents).only_enforce_if(here)
        self.cost.append(charge)


def _fits(held: tuple[int, ...], wanted: list[int]) -> bool:
    """Return whether each wanted piece finds one of its own, by trying the tightest first."""
    left = sorted(held)
    for length in sorted(wanted):
        found = next((piece for piece in left if piece >= length), None)
        if found is None:
            return False
        left.remove(found)
    return True


def _spliceable(door: Door, least_head: int) -> Counter[int]:
    """Return the jambs and the heads that may be spliced; meeting members may not."""
    leaf = door.width // 2
    jambs = [door.height] * (2 if door.pair else 3)
    heads = [door.width, leaf, leaf] if door.pair else [door.width] * 2
    return Counter([*jambs, *(head for head in heads if head >= least_head)])


def bracket_buying_cents(order: BuyingOrder, *, effort: float = 1.0) -> tuple[int, int]:
    """Return (lower bound, cost found) in cents; equal where CP-SAT proves the cost.

    Raises:
        Infeasible: no plan exists.
    """
    return Model(order).bracket(effort)
