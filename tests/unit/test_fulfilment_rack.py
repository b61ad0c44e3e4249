"""What a plan takes from the rack, gives back, and leaves on it.

The order and its plan, worked out by hand, are in `tests.every_term`: of three offcuts R-1 two
are cut, of 100 nails 92 are used, and of five bars of 84 in one is left whole.
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.deliveries import CutBars
from optimiser.domain.faults import CutRejected, RackRejected
from optimiser.domain.plan import NextOffcut, RackSource
from optimiser.domain.rack import FastenersOnHand, Offcut, Rack
from optimiser.fulfilment import give_back, leave, put_on, take
from optimiser.render import render_rack
from optimiser.units.lengths import NM_PER_INCH, LengthUnit
from tests.every_term import ORDER, every_term
from tests.ten_doors import BRONZE, ZINC, small

INCH = NM_PER_INCH
PLAN = every_term().plan
R_1, R_2 = ORDER.rack.offcuts
NAILS = ORDER.rack.fasteners[0]


def test_a_plan_takes_what_it_uses_and_leaves_the_rest() -> None:
    # Three R-1 less two; 100 nails less 92.
    assert take(ORDER.rack, PLAN) == Rack(
        offcuts=(replace(R_1, quantity=1), R_2), fasteners=(replace(NAILS, count=8),)
    )


def test_what_a_plan_takes_wholly_is_no_entry_any_more() -> None:
    rack = Rack(offcuts=(replace(R_1, quantity=2),), fasteners=(replace(NAILS, count=92),))
    assert take(rack, PLAN) == Rack()


def test_a_plan_that_is_withdrawn_gives_back_what_it_took() -> None:
    assert give_back(take(ORDER.rack, PLAN), PLAN) == ORDER.rack
    # An entry that was taken wholly is there again as it was.
    rack = Rack(offcuts=(replace(R_1, quantity=2),), fasteners=(replace(NAILS, count=92),))
    assert give_back(Rack(), PLAN) == rack


def test_every_shortage_is_named_at_once() -> None:
    rack = Rack(offcuts=(replace(R_1, quantity=1),), fasteners=(replace(NAILS, count=91),))
    with pytest.raises(RackRejected) as refused:
        take(rack, PLAN)
    assert [(f.path, f.code, f.message) for f in refused.value.faults] == [
        (
            ("offcuts_used", 0, "used"),
            "rack-short",
            "Offcut R-1: the plan takes 2, and 1 is on the rack; plan anew with the rack as it is.",
        ),
        (
            ("fasteners_used", 0, "used"),
            "rack-short",
            "Strip-nails on hand: the plan takes 92, and 91 are there; plan anew with the rack as "
            "it is.",
        ),
    ]


def test_an_empty_rack_is_short_of_everything() -> None:
    with pytest.raises(RackRejected) as refused:
        take(Rack(), PLAN)
    assert [fault.code for fault in refused.value.faults] == ["rack-short", "rack-short"]


def test_an_offcut_of_another_length_by_the_same_id_is_refused() -> None:
    rack = replace(ORDER.rack, offcuts=(replace(R_1, length_nm=41 * INCH), R_2))
    for refused_by in (take, give_back):
        with pytest.raises(RackRejected) as refused:
            refused_by(rack, PLAN)
        assert [fault.code for fault in refused.value.faults] == ["another-offcut"]
        assert refused.value.faults[0].message == (
            "Offcut R-1 is 40 in of interlocking-strip, zinc, and the rack holds 41 in of "
            "interlocking-strip, zinc by this id; give one of them another id."
        )


def test_a_bar_left_whole_goes_on_the_rack_at_its_credit() -> None:
    # One of five bars of 84 in, at 0.05 for an inch: 4.20. All nails are needed.
    assert leave(PLAN, "HR-7") == Rack(
        offcuts=(
            Offcut(
                id="HR-7 LS-84-Z",
                material=ZINC,
                length_nm=84 * INCH,
                quantity=1,
                value=Decimal("4.20"),
            ),
        )
    )


def test_spare_fasteners_go_on_the_rack_and_add_to_those_that_are_there() -> None:
    # The small order has 60 nails to spare: 260 + 455 less 655 needed.
    left = leave(small().plan, "HR-8")
    assert left == Rack(fasteners=(FastenersOnHand(fastener="strip-nail", count=60),))
    # What is there keeps its value.
    assert put_on(Rack(fasteners=(NAILS,)), left) == Rack(fasteners=(replace(NAILS, count=160),))


def test_of_bars_cut_so_far_only_their_drops_are_left() -> None:
    kept = NextOffcut(
        kind=RackSource.DROP, source="P1", material=BRONZE, length_nm=26 * INCH, quantity=4
    )
    plan = replace(small().plan, next_rack=(kept, replace(kept, source="P2", quantity=6)))
    assert leave(plan, "HR-8", (CutBars(pattern="P1", bars=3),)) == Rack(
        offcuts=(Offcut(id="HR-8 P1", material=BRONZE, length_nm=26 * INCH, quantity=3),)
    )


def test_bars_that_the_plan_does_not_cut_are_refused_at_once() -> None:
    cut = (
        CutBars(pattern="P9", bars=1),
        CutBars(pattern="P1", bars=3),
        CutBars(pattern="P1", bars=2),
        CutBars(pattern="P2", bars=0),
    )
    with pytest.raises(CutRejected) as refused:
        leave(small().plan, "HR-8", cut)
    assert [(f.path, f.message) for f in refused.value.faults] == [
        (
            ("cut", 0, "pattern"),
            "Pattern “P9” is not in the plan; name one of its 3 patterns.",
        ),
        (
            ("cut", 2, "bars"),
            "Pattern P1: 2 bars are cut, 5 in all, and the plan cuts 4; give 1 or more, and 4 at "
            "most in all.",
        ),
        (
            ("cut", 3, "bars"),
            "Pattern P2: 0 bars are cut, and the plan cuts 6; give 1 or more, and 6 at most in "
            "all.",
        ),
    ]


def test_a_rack_is_written_as_a_table() -> None:
    assert render_rack(Rack(), LengthUnit.INCH, "USD") == "The rack is empty.\n"
    assert render_rack(ORDER.rack, LengthUnit.INCH, "USD") == (
        "Qty  Value  Offcut  What\n"
        "---  -----  ------  ----------------------------------\n"
        "  3   2.00  R-1     40 in of interlocking-strip, zinc\n"
        "  1   1.00  R-2     20 in of interlocking-strip, bronze\n"
        "100   0.01          strip-nails\n"
    ).replace("-" * 34, "-" * 35)
