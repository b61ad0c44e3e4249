"""What is bought in a CP-SAT model: quantities, what they cost, weigh and ship for.

Shares no code with the library. Prices by quantity are looked up in tables (element
constraints), freight by comparing amounts; nothing is written as levels with switches.
"""

from itertools import pairwise

from ortools.sat.python import cp_model

from tests.oracle.buying_orders import BuyingOrder, FreightTerms, Terms

Expr = cp_model.LinearExprT
WEIGHT_SCALE = 256
"""Weights are counted in 256ths of a gram, so that a kit's weight by its length is whole."""


def table_cost(terms: Terms, cents: int, quantity: int) -> int:
    """Return what a quantity costs, unit by unit."""
    steps = [(1, cents), *terms.steps]
    if not terms.incremental:
        return quantity * [price for start, price in steps if start <= max(1, quantity)][-1]
    return sum(
        [price for start, price in steps if start <= unit][-1] for unit in range(1, quantity + 1)
    )


class Ledger:
    """A model with its costs in cents, the nails that arrive, and each supplier's shipment.

    `bought` pairs, per supplier, a number of things with the longest length among them.
    """

    def __init__(self, order: BuyingOrder) -> None:
        self.order = order
        self.model = cp_model.CpModel()
        self.cost: list[Expr] = []
        self.nails: list[Expr] = []
        suppliers = range(len(order.freight))
        self.goods: list[list[Expr]] = [[] for _ in suppliers]
        self.grams: list[list[Expr]] = [[] for _ in suppliers]
        self.bought: list[list[tuple[cp_model.IntVar, int]]] = [[] for _ in suppliers]

    def buy(
        self, terms: Terms, cents: int, *, needed: int, multiple: int = 1, longest: int = 0
    ) -> cp_model.IntVar:
        """Return the units bought of an article; cost, goods and weight are booked.

        Up to `needed` units may be of use; more may be bought to reach a threshold.
        """
        most = needed + self._beyond(terms, cents, multiple)
        limit = most if terms.available is None else min(most, terms.available)
        allowed = [
            0,
            *(
                q
                for q in range(multiple, limit + 1, multiple)
                if q >= terms.least and table_cost(terms, cents, q) >= terms.least_cents
            ),
        ]
        units = self.model.new_int_var_from_domain(cp_model.Domain.from_values(allowed), "")
        table = [table_cost(terms, cents, q) for q in range(max(allowed) + 1)]
        paid = self.model.new_int_var(0, max(table), "")
        self.model.add_element(units, table, paid)
        self.cost.append(paid)
        self.goods[terms.supplier].append(paid)
        self.grams[terms.supplier].append(terms.grams * WEIGHT_SCALE * units)
        self.bought[terms.supplier].append((units, longest))
        return units

    def _beyond(self, terms: Terms, cents: int, multiple: int) -> int:
        """Return units that may be bought only to reach a threshold of the supplier."""
        freight, least = self.order.freight[terms.supplier], self.order.least_order[terms.supplier]
        lowest = min([cents, *(price for _, price in terms.steps)])
        goods = max(least, (freight.free_from or 0) if freight else 0)
        falls = freight is not None and any(
            later[1] < sooner[1] for sooner, later in pairwise(freight.tiers)
        )
        units = 0
        if falls and freight is not None:
            last = freight.tiers[-1][0]
            if freight.by_value:
                goods = max(goods, last)
            elif terms.grams:
                units = -(-last // terms.grams)
        if lowest:
            units = max(units, -(-goods // lowest), -(-terms.least_cents // lowest))
        starts = [start for start, _ in terms.steps]
        return units + max([terms.least, *starts]) + multiple

    def ship(self) -> None:
        """Book the freight of every supplier, and hold its least order."""
        for supplier, freight in enumerate(self.order.freight):
            self._ship(supplier, freight)

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
        self._charge(freight, amount, any_bought, free)

    def _charge(
        self,
        freight: FreightTerms,
        amount: Expr,
        any_bought: cp_model.IntVar,
        free: cp_model.IntVar,
    ) -> None:
        model, scale = self.model, 1 if freight.by_value else WEIGHT_SCALE
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
