"""What is taken from the rack: as much as is needed, and no more."""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.order import Policy
from optimiser.domain.rack import FastenersOnHand, Rack
from optimiser.planning import make_plan
from tests.ten_doors import CATALOGUE, TEN_DOORS

DOOR = replace(
    TEN_DOORS,
    openings=(replace(TEN_DOORS.openings[0], quantity=1),),
    policy=Policy(alternatives=False),
)


@pytest.mark.parametrize("on_hand", [90, 103, 500])
def test_no_more_fasteners_are_taken_from_the_rack_than_are_needed(on_hand: int) -> None:
    # 104 nails: with 90 or 103 on hand a pack of 65 is bought and 39 are taken; 500 are enough.
    rack = Rack(fasteners=(FastenersOnHand(fastener="strip-nail", count=on_hand),))
    plan = make_plan(replace(DOOR, rack=rack))
    taken = 104 if on_hand > 104 else 39
    assert plan.decision.fasteners_on_hand == (("strip-nail", None, taken),)
    (supply,) = plan.fasteners
    assert (supply.supplied, supply.spare) == (104, 0)


def test_the_dearer_fasteners_are_left_on_the_rack() -> None:
    # Both finishes serve one pool: 104 = 65 of a pack + 39 of the 60 that count for nothing.
    rack = Rack(
        fasteners=(
            FastenersOnHand(fastener="strip-nail", finish="bronze", count=30, value=Decimal(1)),
            FastenersOnHand(fastener="strip-nail", finish="zinc", count=60),
        )
    )
    plan = make_plan(replace(DOOR, rack=rack))
    assert plan.decision.fasteners_on_hand == (("strip-nail", "zinc", 39),)
    assert plan.decision.packs == (("LN-1", 1),)


def test_limits_of_one_supplier_are_told_without_those_of_another() -> None:
    kits = (replace(CATALOGUE.kits[0], available=3),)
    first = replace(CATALOGUE, kits=kits, stock_lengths=())
    second = replace(
        CATALOGUE,
        supplier="Larkmoor Trade Counter",
        stock_lengths=(replace(CATALOGUE.stock_lengths[0], sku="TC-96-Z", least_quantity=2),),
        kits=(),
        fastener_packs=(),
    )
    plan = make_plan(replace(TEN_DOORS, catalogues=(first, second)))
    told = {
        other.supplier: other.obstacles for other in plan.alternatives if other.supplier is not None
    }
    assert told["Larkmoor Strip & Seal"] == (
        "Every piece is offered, but no purchase keeps within what is available of LK-Z; raise "
        "one of these, or add another article or supplier.",
    )
