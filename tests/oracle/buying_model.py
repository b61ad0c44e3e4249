"""Orders with all terms of buying as a CP-SAT model: what serves the openings, and the whole.

Shares no code with the library: plain integers in, a bracket of the least cost in cents out.
What is bought stands in `buying_ledger.py`, what is cut in `buying_cuts.py`.
"""

from dataclasses import replace

from ortools.sat.python import cp_model

from tests.oracle.buying_cuts import Cuts
from tests.oracle.buying_ledger import Ledger
from tests.oracle.buying_orders import BuyingOrder
from tests.oracle.small_orders import Door

GRAMS_PER_16_IN = 40
UNKNOWN = -(10**9), 10**9


class Infeasible(Exception):
    """CP-SAT shows that no plan exists."""


def bracket_buying_cents(order: BuyingOrder, *, effort: float = 1.0) -> tuple[int, int]:
    """Return (lower bound, cost found) in cents; equal where CP-SAT proves the cost.

    `effort` is CP-SAT's deterministic time, so that the answer is the same on every machine.
    Without a plan found and without a proof that there is none the bracket is `UNKNOWN`.

    Raises:
        Infeasible: no plan exists.
    """
    return Model(order).bracket(effort)


class Model:
    """The model of one order."""

    def __init__(self, order: BuyingOrder) -> None:
        self.order, self.base = order, order.base
        self.ledger = Ledger(order)
        self.cuts = Cuts(self.ledger)
        self.model = self.ledger.model
        self.openings = sum(door.quantity for door in self.base.doors)

    def bracket(self, effort: float) -> tuple[int, int]:
        """Return (lower bound, cost found) in cents."""
        self._serve_doors()
        self.cuts.write()
        self._buy_packs()
        self._take_from_rack()
        self.model.add(sum(self.ledger.nails) >= self.base.nails_needed())
        self.ledger.ship()
        self.model.minimize(sum(self.ledger.cost))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = effort
        status = solver.solve(self.model)
        if status == cp_model.INFEASIBLE:
            raise Infeasible
        if status == cp_model.UNKNOWN:
            return UNKNOWN
        return round(solver.best_objective_bound), round(solver.objective_value)

    def _ways(self, door: Door) -> list[tuple[str, int]]:
        return [(door.finish, 0)] + [
            (instead, preference)
            for wanted, instead, preference in self.order.substitutions
            if wanted == door.finish
        ]

    def _serve_doors(self) -> None:
        model, cost = self.model, self.ledger.cost
        self.kits: list[list[tuple[cp_model.IntVar, int]]] = [[] for _ in self.base.kits]
        standard: list[list[cp_model.IntVar]] = [[] for _ in self.order.standard]
        for door in self.base.doors:
            served = []
            for finish, preference in self._ways(door):
                ways = self._serve_by_kits(replace(door, finish=finish))
                for place, offer in enumerate(self.order.standard):
                    if offer.finish == finish and _fits(offer.lengths, door.pieces()):
                        taken = model.new_int_var(0, door.quantity, "")
                        standard[place].append(taken)
                        ways.append(taken)
                cut = model.new_int_var(0, door.quantity, "")
                self.cuts.want(door, finish, cut)
                ways.append(cut)
                cost.extend(preference * way for way in ways)
                served.extend(ways)
            model.add(sum(served) == door.quantity)
        self._price_kits()
        for offer, users in zip(self.order.standard, standard, strict=True):
            if not users and not offer.nails:
                continue
            needed = self.openings
            if offer.nails:
                needed += -(-self.base.nails_needed() // offer.nails)
            units = self.ledger.buy(
                offer.terms, offer.cents, needed=needed, longest=max(offer.lengths)
            )
            model.add(sum(users) <= units)
            self.ledger.nails.append(offer.nails * units)

    def _serve_by_kits(self, door: Door) -> list[cp_model.IntVar]:
        served = []
        for number, kit in enumerate(self.base.kits):
            terms = self.base.kit_terms(door, kit)
            if terms is None:
                continue
            taken = self.model.new_int_var(0, door.quantity, "")
            self.kits[number].append((taken, terms[0]))
            served.append(taken)
            self.ledger.nails.append(terms[1] * taken)
            supplier = self.order.kit_terms[number].supplier
            # In 256ths of a gram: 40 g for 16 in, which are 256 sixteenths.
            self.ledger.grams[supplier].append(GRAMS_PER_16_IN * sum(door.pieces()) * taken)
            self.ledger.bought[supplier].append((taken, max(door.pieces())))
        return served

    def _price_kits(self) -> None:
        for terms, taken in zip(self.order.kit_terms, self.kits, strict=True):
            if not taken:
                continue
            limit = self.openings if terms.available is None else terms.available
            allowed = [0, *range(terms.least, limit + 1)]
            total = self.model.new_int_var_from_domain(cp_model.Domain.from_values(allowed), "")
            self.model.add(total == sum(variable for variable, _ in taken))
            spent: list[cp_model.IntVar] = []
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
                self.ledger.cost.append(paid)
                self.ledger.goods[terms.supplier].append(paid)
                spent.append(paid)
            if terms.least_cents:
                any_bought = self.model.new_bool_var("")
                self.model.add(total <= max(allowed) * any_bought)
                self.model.add(sum(spent) >= terms.least_cents * any_bought)

    def _buy_packs(self) -> None:
        needed = self.base.nails_needed()
        for pack, terms in zip(self.base.packs, self.order.pack_terms, strict=True):
            units = self.ledger.buy(
                terms, pack.cents, needed=-(-needed // pack.low), multiple=pack.multiple
            )
            self.ledger.nails.append(pack.low * units)

    def _take_from_rack(self) -> None:
        count, cents = self.order.on_hand
        taken = self.model.new_int_var(0, count, "")
        self.ledger.nails.append(taken)
        self.ledger.cost.append(cents * taken)


def _fits(held: tuple[int, ...], wanted: list[int]) -> bool:
    """Return whether each wanted piece finds one of its own, by trying the tightest first."""
    left = sorted(held)
    for length in sorted(wanted):
        found = next((piece for piece in left if piece >= length), None)
        if found is None:
            return False
        left.remove(found)
    return True
