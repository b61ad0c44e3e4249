"""Which openings have another material than they ask for: the only place that counts them."""

from collections import Counter
from collections.abc import Iterator

from optimiser.domain.catalogue import Material
from optimiser.domain.decision import Decision
from optimiser.domain.order import Order
from optimiser.domain.takeoff import SetDemand, Takeoff


def count_stand_ins(
    order: Order, takeoff: Takeoff, decision: Decision
) -> Iterator[tuple[SetDemand, Material, int]]:
    """Yield each set that another material serves, that material, and the openings so served.

    An opening is served by another material where its pieces are cut from it, or come in a kit
    of it.
    """
    catalogue = order.catalogue
    made_of: dict[str, Material] = {kit.sku: kit.material for kit in catalogue.kits}
    made_of |= {kit.sku: kit.material for kit in catalogue.standard_kits}
    for demand, supply in zip(takeoff.demand.sets, decision.supplies, strict=True):
        served = Counter[Material]()
        for sku, openings in (*supply.kits, *supply.standard_kits):
            served[made_of[sku]] += openings
        for material, openings in supply.cut_instead:
            served[material] += openings
        for material, openings in sorted(served.items()):
            if openings and material != demand.piece_set.material:
                yield demand, material, openings
