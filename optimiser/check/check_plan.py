"""Re-prove a plan from the order alone: takeoff summed up, coverage, cuts, packs, cost.

Nothing here is shared with what it checks: the sums are done again, in whole numbers and
fractions, from the order, the pieces of the takeoff and the catalogue. That the pieces are
those that the rules ask for is not proved again.
"""

from optimiser.check.cost import check_cost
from optimiser.check.coverage import check_coverage
from optimiser.check.cuts import check_cuts
from optimiser.check.demand import check_demand
from optimiser.check.packs import check_packs
from optimiser.check.purchases import check_purchases
from optimiser.check.rack import check_rack
from optimiser.check.shipments import check_shipments
from optimiser.check.splices import check_splices
from optimiser.check.trims import check_trims
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.domain.takeoff import Takeoff


def check_plan(order: Order, takeoff: Takeoff, plan: Plan) -> tuple[str, ...]:
    """Return what does not hold in a plan; empty when everything does.

    Each failure names the thing, its value and the value that was expected.
    """
    return (
        *check_demand(order, takeoff),
        *check_coverage(order, takeoff, plan),
        *check_cuts(order, plan),
        *check_packs(order, takeoff, plan),
        *check_purchases(order, takeoff, plan),
        *check_shipments(order, plan),
        *check_rack(order, plan),
        *check_splices(order, takeoff, plan),
        *check_trims(order, plan),
        *check_cost(order, takeoff, plan),
    )
