"""What is taken from the rack, no more than is needed, and how that and stand-ins are told."""

from dataclasses import replace
from decimal import Decimal
from functools import partial

import pytest

from optimiser.domain.catalogue import Kit, KitPrice
from optimiser.domain.concessions import Substitution
from optimiser.domain.notices import ThinFastenerMargin
from optimiser.domain.order import Policy
from optimiser.domain.rack import FastenersOnHand, Rack
from optimiser.domain.reasons import FastenersSupplied
from optimiser.explain import sentence
from optimiser.planning import make_plan
from optimiser.render.text import render_text
from tests.ten_doors import BRONZE, CATALOGUE, TEN_DOORS, ZINC

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


@pytest.mark.parametrize(
    ("on_hand", "told"),
    [(39, [(0, 65)]), (43, [(4, 61)]), (46, []), (90, [])],
)
def test_a_thin_margin_counts_what_is_left_on_hand(
    on_hand: int, told: list[tuple[int, int]]
) -> None:
    # 104 = 39 on hand + 65 of one pack: with 43 on hand the pack may hold 4 fewer; with 46 it
    # may hold 58, more than a tenth fewer, which is no thin margin.
    rack = Rack(fasteners=(FastenersOnHand(fastener="strip-nail", count=on_hand),))
    plan = make_plan(replace(DOOR, rack=rack))
    assert [
        (notice.spare, notice.least_per_pack)
        for notice in plan.notices
        if isinstance(notice, ThinFastenerMargin)
    ] == told


@pytest.mark.parametrize(
    ("on_hand", "told"),
    [
        # 104 = 65 of one pack + 39: with 43 on hand the pack may hold 4 fewer.
        (39, "39 on hand = 104; 104 needed, none left over. Enough while a pack holds at least 65"),
        (
            43,
            "39 on hand = 104; 104 needed, none left over; 4 more stay on hand. Enough while a "
            "pack holds at least 61",
        ),
        (500, "104 on hand = 104; 104 needed, none left over; 396 more stay on hand."),
    ],
)
def test_what_stays_on_hand_is_told_and_counted_on(on_hand: int, told: str) -> None:
    rack = Rack(fasteners=(FastenersOnHand(fastener="strip-nail", count=on_hand),))
    plan = make_plan(replace(DOOR, rack=rack))
    (reason,) = (r for r in plan.reasons if isinstance(r, FastenersSupplied))
    assert told in sentence(reason, unit=plan.unit, currency=plan.currency)
    assert reason.left_on_hand == on_hand - reason.on_hand


def test_packs_in_kits_do_not_count_where_what_is_on_hand_is_enough_alone() -> None:
    # The only kit brings 4 packs; the 500 on hand would do without them.
    catalogue = replace(CATALOGUE, stock_lengths=(), kits=CATALOGUE.kits[1:])
    rack = Rack(fasteners=(FastenersOnHand(fastener="strip-nail", count=500, value=Decimal(1)),))
    plan = make_plan(replace(DOOR, rack=rack, catalogues=(catalogue,)))
    (reason,) = (r for r in plan.reasons if isinstance(r, FastenersSupplied))
    assert sentence(reason, unit=plan.unit, currency=plan.currency) == (
        "Strip-nails: 1 kit LK-Z-N × 260 = 260; 104 needed, 156 left over; 500 more stay on hand. "
        "What is on hand is enough alone, whatever the packs hold."
    )


def test_a_kit_that_stands_in_is_told_with_what_it_is_made_of() -> None:
    # A kit of bronze is offered for 30, and nothing else that would serve a zinc door.
    kit = Kit(sku="LK-B", material=BRONZE, price=KitPrice(base=Decimal(30)))
    policy = replace(DOOR.policy, substitutions=(Substitution(wanted=ZINC, instead=BRONZE),))
    catalogue = replace(CATALOGUE, stock_lengths=(), kits=(kit,))
    plan = make_plan(replace(DOOR, catalogues=(catalogue,), policy=policy))
    text = render_text(plan, partial(sentence, unit=plan.unit, currency=plan.currency))
    assert "    supply: 1 by kit LK-B of interlocking-strip, bronze instead\n" in text


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
