"""The plan with one choice changed, priced anew: what the choice is worth."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal

from optimiser.domain.decision import Decision, Restriction, Solution, Supply
from optimiser.domain.faults import NoPlanInTime, OrderRejected
from optimiser.domain.order import Order
from optimiser.domain.order_terms import is_plain
from optimiser.domain.plan import Alternative, AlternativeOutcome
from optimiser.domain.takeoff import Takeoff
from optimiser.explain.obstacles import find_obstacles
from optimiser.explain.paper_method import price_each_on_its_own

FASTENERS_WITH_EVERY_KIT = "fasteners-with-every-kit"
LOOSE_PACKS_ONLY = "loose-packs-only"
NO_KITS = "no-kits"
KITS_FOR_EVERY_OPENING = "kits-for-every-opening"
EACH_OPENING_ON_ITS_OWN = "each-opening-on-its-own"
FROM_ONE_SUPPLIER_ONLY = "from-one-supplier-only"

ALTERNATIVES = (
    FASTENERS_WITH_EVERY_KIT,
    LOOSE_PACKS_ONLY,
    NO_KITS,
    KITS_FOR_EVERY_OPENING,
    EACH_OPENING_ON_ITS_OWN,
)


def price_alternatives(
    order: Order,
    takeoff: Takeoff,
    solution: Solution,
    solve: Callable[[Restriction], Solution],
) -> tuple[Alternative, ...]:
    """Return each of `ALTERNATIVES`, priced, in their order, then one for each supplier.

    Where there are several suppliers, buying all of one of them is an alternative for each.

    `solve` finds the best plan under a restriction. It is called only where the plan does not
    satisfy the restriction already and `find_obstacles` finds nothing in the way. A plan that
    is not proved may be beaten by an alternative: then its extra cost is below zero.

    Raises:
        OptimiserError: what `solve` raises, other than `OrderRejected` and `NoPlanInTime`.
    """
    pricing = _Pricing(order, takeoff, solution, solve)
    return (
        pricing.with_fasteners(),
        pricing.restricted(LOOSE_PACKS_ONLY, Restriction(kits_with_fasteners=False)),
        pricing.restricted(NO_KITS, Restriction(bare_kits=False, kits_with_fasteners=False)),
        pricing.restricted(KITS_FOR_EVERY_OPENING, Restriction(cutting=False)),
        *pricing.each_on_its_own(),
        *pricing.of_one_supplier(),
    )


class _Pricing:
    def __init__(
        self,
        order: Order,
        takeoff: Takeoff,
        solution: Solution,
        solve: Callable[[Restriction], Solution],
    ) -> None:
        self._order = order
        self._takeoff = takeoff
        self._solution = solution
        self._solve = solve
        catalogue = order.catalogue
        self._with_fasteners = {kit.sku for kit in catalogue.kits if kit.fasteners is not None} | {
            kit.sku for kit in catalogue.standard_kits if kit.fasteners is not None
        }

    @property
    def _plan_cost(self) -> Decimal:
        return self._solution.certificate.cost

    def with_fasteners(self) -> Alternative:
        """Return the price of the plan's kits, each with fasteners."""
        decision = self._solution.decision
        kits = tuple(
            sum(n for _, n in (*supply.kits, *supply.standard_kits)) for supply in decision.supplies
        )
        if not any(kits):
            return _impossible(FASTENERS_WITH_EVERY_KIT, ("The plan buys no kit.",))
        return self.restricted(
            FASTENERS_WITH_EVERY_KIT, Restriction(bare_kits=False, kits_per_set=kits)
        )

    def restricted(self, code: str, restriction: Restriction) -> Alternative:
        """Return the price of the best plan under the restriction."""
        certificate = self._solution.certificate
        if self._satisfies(self._solution.decision, restriction):
            return Alternative(
                code=code,
                outcome=AlternativeOutcome.SAME_AS_PLAN,
                cost=self._plan_cost,
                extra_cost=Decimal(0),
                proved=certificate.proved,
            )
        obstacles = find_obstacles(self._order, self._takeoff, restriction)
        if obstacles:
            return _impossible(code, tuple(fault.message for fault in obstacles))
        try:
            found = self._solve(restriction).certificate
        except OrderRejected as rejected:
            return _impossible(code, tuple(fault.message for fault in rejected.faults))
        except NoPlanInTime:
            return Alternative(code=code, outcome=AlternativeOutcome.NOT_SOLVED_IN_TIME)
        return self._priced(code, found.cost, proved=found.proved)

    def each_on_its_own(self) -> Iterator[Alternative]:
        """Yield the price by the paper method; it is one way to buy, not the best one.

        The method knows prices and multiples; an order with other terms has no such price.
        """
        if is_plain(self._order):
            yield self._each_on_its_own()

    def _each_on_its_own(self) -> Alternative:
        if not self._order.policy.allow_cutting:
            return _impossible(
                EACH_OPENING_ON_ITS_OWN,
                ("Cutting is not allowed; allow cutting (policy.allow_cutting).",),
            )
        obstacles = find_obstacles(
            self._order, self._takeoff, Restriction(bare_kits=False, kits_with_fasteners=False)
        )
        if obstacles:
            return _impossible(EACH_OPENING_ON_ITS_OWN, tuple(fault.message for fault in obstacles))
        cost = price_each_on_its_own(self._order, self._takeoff)
        return self._priced(EACH_OPENING_ON_ITS_OWN, cost, proved=False)

    def of_one_supplier(self) -> Iterator[Alternative]:
        """Yield the price of buying all of one supplier, for each where there are several."""
        catalogues = self._order.catalogues
        for catalogue in catalogues if len(catalogues) > 1 else ():
            supplier = catalogue.supplier
            priced = self.restricted(FROM_ONE_SUPPLIER_ONLY, Restriction(only_supplier=supplier))
            yield replace(priced, supplier=supplier)

    def _priced(self, code: str, cost: Decimal, *, proved: bool) -> Alternative:
        return Alternative(
            code=code,
            outcome=AlternativeOutcome.PRICED,
            cost=cost,
            extra_cost=cost - self._plan_cost,
            proved=proved,
        )

    def _satisfies(self, decision: Decision, restriction: Restriction) -> bool:
        bought = {
            sku
            for supply in decision.supplies
            for sku, n in (*supply.kits, *supply.standard_kits)
            if n
        }
        return (
            (restriction.kits_with_fasteners or not bought & self._with_fasteners)
            and (restriction.bare_kits or not bought - self._with_fasteners)
            and (restriction.cutting or not any(_is_cut(supply) for supply in decision.supplies))
            and restriction.only_supplier in {None, *self._only_supplier(decision)}
        )

    def _only_supplier(self, decision: Decision) -> set[str]:
        """Return the supplier of all that is bought, where there is one alone."""
        bought = {sku for supply in decision.supplies for sku, n in supply.kits if n}
        listed = (*decision.stock_lengths, *decision.packs, *decision.standard_kits)
        bought |= {sku for sku, n in listed if n}
        suppliers = {self._order.supplier_of(sku) for sku in bought}
        if not suppliers:
            return {catalogue.supplier for catalogue in self._order.catalogues}
        return suppliers if len(suppliers) == 1 else set()


def _is_cut(supply: Supply) -> bool:
    return bool(supply.cut or any(number for _, number in supply.cut_instead))


def _impossible(code: str, obstacles: tuple[str, ...]) -> Alternative:
    return Alternative(code=code, outcome=AlternativeOutcome.NOT_POSSIBLE, obstacles=obstacles)
