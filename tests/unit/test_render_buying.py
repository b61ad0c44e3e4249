"""The terms of buying in the text of a plan, line by line.

The order and its sums, worked out by hand, are in `tests.every_term`.
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.plan import Plan
from optimiser.explain import give_reasons
from optimiser.render import render_text
from tests.every_term import every_term
from tests.unit.test_render_text import say_for, section


def text_of(plan: Plan) -> str:
    example = every_term()
    reasons, notices = give_reasons(example.order, example.takeoff, plan)
    return render_text(replace(plan, reasons=reasons, notices=notices), say_for(example))


@pytest.fixture(scope="module")
def text() -> str:
    return text_of(every_term().plan)


def test_what_to_buy_stands_by_supplier_with_its_freight_and_totals(text: str) -> None:
    assert (
        section(text, "WHAT TO BUY")
        == """\
Larkmoor Strip & Seal
Qty  SKU       Each  Amount  What
---  -------  -----  ------  ---------------------------------------------------------------
  5  LS-84-Z   9.50   47.50  stock length 84 in, interlocking-strip, zinc
  8  LN-1      2.25   18.00  loose pack, strip-nail
  2  LT-84-Z  39.00   78.00  standard kit with 1 pack of strip-nail, interlocking-strip,
                             zinc: 3 × 84 in, 2 × 40 in
                     143.50  goods, 19.26… lb
                      11.00  freight
                       6.00  surcharge, longer than 80 in
                     160.50  to pay

Larkmoor Trade Counter
Qty  SKU       Each  Amount  What
---  -------  -----  ------  ---------------------------------------------------------------
  1  TC-96-Z  27.00   27.00  bundle of 3 × 96 in, interlocking-strip, zinc
  3  TK-Z     55.02  165.06  bare kit, interlocking-strip, zinc: 3 × 79 in, 2 × 34 in; for
                             D-4
                     192.06  goods
                       5.00  freight
                     197.06  to pay

Total to pay USD 357.56
Cost USD 370.98, with what is weighed beside it and not paid to a supplier"""
    )


def test_what_the_rack_gives_is_listed_with_its_value(text: str) -> None:
    assert (
        section(text, "FROM THE RACK")
        == """\
Qty  Value  Amount  What
---  -----  ------  -------------------------------------------
  2   2.00    4.00  offcut R-1, 40 in, interlocking-strip, zinc
 92   0.01    0.92  strip-nails on hand"""
    )


def test_what_is_left_for_the_next_time_says_where_it_comes_from(text: str) -> None:
    assert (
        section(text, "ON THE RACK NEXT TIME")
        == """\
Qty  Length  Credit  Amount  From               What
---  ------  ------  ------  -----------------  --------------------------
  1   84 in    4.20    4.20  LS-84-Z, whole     interlocking-strip, zinc
  1   40 in    0.00    0.00  R-1, not used      interlocking-strip, zinc
  1   20 in    0.00    0.00  R-2, not used      interlocking-strip, bronze
  8                          on hand, not used  strip-nails"""
    )


def test_patterns_tell_offcuts_from_stock_lengths(text: str) -> None:
    assert (
        section(text, "CUTTING")
        == """\
Pattern  Bars  SKU         Stock  Drop  Cuts from each bar
-------  ----  ----------  -----  ----  --------------------
P1          4  LS-84-Z     84 in  4 in  1 × 80 in
P2          2  offcut R-1  40 in  0 in  1 × 40 in
P3          2  TC-96-Z     96 in  0 in  1 × 60 in, 1 × 36 in
P4          1  TC-96-Z     96 in  4 in  2 × 36 in, 1 × 20 in"""
    )


def test_fasteners_on_hand_have_a_column_of_their_own(text: str) -> None:
    assert (
        section(text, "FASTENERS")
        == """\
Fastener    By length  By piece  Needed  In kits  Loose  On hand  Left over
----------  ---------  --------  ------  -------  -----  -------  ---------
strip-nail        742       764     742      130    520       92          0"""
    )


def test_standard_kits_say_what_to_trim_and_to_what(text: str) -> None:
    assert (
        section(text, "OPENINGS").split("\n\n")[0]
        == """\
D-1: 2 single doors, opening 36 in × 80 in, zinc
    each: 5 pieces in 5 runs, 312 in in all
    each: 104 strip-nails by running length, 107 by piece, at 3 in
    by edge: hinge jamb 1 × 80 in, strike jamb 2 × 80 in, head 2 × 36 in
    supply: 2 by standard kit LT-84-Z
    Trim   From     To  Label and where it lies                       Kit
    ----  -----  -----  --------------------------------------------  -------
     2 ×  84 in  80 in  D-1 hinge jamb, jamb member (on the frame)    LT-84-Z
     2 ×  84 in  80 in  D-1 strike jamb, frame member (on the frame)  LT-84-Z
     2 ×  84 in  80 in  D-1 strike jamb, leaf member (on the leaf)    LT-84-Z
     2 ×  40 in  36 in  D-1 head, frame member (on the frame)         LT-84-Z
     2 ×  40 in  36 in  D-1 head, leaf member (on the leaf)           LT-84-Z"""
    )


def test_a_spliced_piece_shows_its_segments_and_what_they_make(text: str) -> None:
    assert (
        section(text, "OPENINGS").split("\n\n")[1]
        == """\
D-2: 1 single door, opening 36 in × 100 in, zinc
    each: 5 pieces in 5 runs, 372 in in all
    each: 124 strip-nails by running length, 128 by piece, at 3 in
    by edge: hinge jamb 1 × 100 in, strike jamb 2 × 100 in, head 2 × 36 in
    supply: 1 cut at the bench
    Cut  Length  Label and where it lies                                       From
    ---  ------  ------------------------------------------------------------  -----
    1 ×   60 in  D-2 hinge jamb, jamb member, segment 1 of 2 (on the frame)    P3: 1
    1 ×   40 in  D-2 hinge jamb, jamb member, segment 2 of 2 (on the frame)    P2: 1
    1 ×   60 in  D-2 strike jamb, frame member, segment 1 of 2 (on the frame)  P3: 1
    1 ×   40 in  D-2 strike jamb, frame member, segment 2 of 2 (on the frame)  P2: 1
    1 ×   80 in  D-2 strike jamb, leaf member, segment 1 of 2 (on the leaf)    P1: 1
    1 ×   20 in  D-2 strike jamb, leaf member, segment 2 of 2 (on the leaf)    P4: 1
    1 ×   36 in  D-2 head, frame member (on the frame)                         P3: 1
    1 ×   36 in  D-2 head, leaf member (on the leaf)                           P3: 1
    spliced: 2 × 100 in = 60 in + 40 in
    spliced: 1 × 100 in = 80 in + 20 in"""
    )


def test_the_cost_tells_what_is_paid_from_what_is_weighed(text: str) -> None:
    assert section(text, "IN SHORT").startswith(
        "- Stock lengths USD 74.50 + kits USD 165.06 + loose packs USD 18.00 + standard kits\n"
        "  USD 78.00 + freight USD 16.00 + over-length USD 6.00 = USD 357.56 to pay. Weighed with "
        "it:\n"
        "  cut charges USD 5.20 + splices USD 4.50 + from the rack USD 4.92 − credit for drops\n"
        "  USD 4.20 + preference against substitutions USD 3.00; the cost is USD 370.98.\n"
    )


def test_what_stands_in_for_another_material_is_told(text: str) -> None:
    assert section(text, "OPENINGS").split("\n\n")[2].splitlines()[4] == (
        "    supply: 1 cut from interlocking-strip, zinc"
    )


def test_a_kit_that_already_has_the_length_is_fitted_as_it_is() -> None:
    plan = every_term().plan
    first = plan.openings[0]
    exact = replace(first.trim_list[0], held_nm=first.trim_list[0].length_nm)
    opening = replace(first, trim_list=(exact, *first.trim_list[1:]))
    text = text_of(replace(plan, openings=(opening, *plan.openings[1:])))
    assert section(text, "OPENINGS").splitlines()[7] == (
        "     2 ×  80 in  as it is  D-1 hinge jamb, jamb member (on the frame)    LT-84-Z"
    )


def test_free_freight_stands_with_the_threshold_that_is_reached() -> None:
    plan = every_term().plan
    free = replace(plan.shipments[0], charge=Decimal(0), free=True, free_from=Decimal(140))
    lines = section(text_of(replace(plan, shipments=(free,))), "WHAT TO BUY").splitlines()
    assert "freight, free from 140.00 of goods on" in lines[8]
