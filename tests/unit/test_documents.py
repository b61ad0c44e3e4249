"""Labels, cutting diagrams and install sheets: as data, and as text."""

from dataclasses import replace
from fractions import Fraction
from functools import partial
from itertools import pairwise

import pytest

from optimiser.documents import (
    draw_cutting_diagrams,
    list_labels,
    write_bench_sheets,
    write_install_sheets,
)
from optimiser.documents.positions import place_fasteners
from optimiser.domain.clearances import Clearances
from optimiser.domain.documents import SpanKind
from optimiser.domain.fit import Fit
from optimiser.domain.opening import Edge, OpeningKind, Threshold
from optimiser.domain.order import Policy
from optimiser.domain.splicing import EdgeEnd
from optimiser.explain import applicable_cautions, bench_cautions, sentence
from optimiser.fit import (
    FitSettings,
    Sawn,
    check_clearance,
    known_woods,
    prepare_leaf,
    swell_wood,
)
from optimiser.render import (
    render_bench_sheets,
    render_cutting_diagrams,
    render_install_sheet,
    render_labels,
    word_calculation,
    word_clearance,
)
from optimiser.render.both_units import write_both_units
from optimiser.render.table import LINE_WIDTH
from optimiser.takeoff import take_off, work_out_sizes
from optimiser.units.lengths import NM_PER_INCH, NM_PER_MILLIMETRE, LengthUnit
from tests.ten_doors import SMALL, TEN_DOORS, small
from tests.unit.test_fit import LEAF_NM, PROFILE

INCH = NM_PER_INCH
SAY = partial(sentence, unit=LengthUnit.INCH, currency="USD")


def test_fasteners_stand_at_the_end_distances_and_evenly_between() -> None:
    # By hand: 78 ÷ 3 = 26 spaces of 3 in; 34 ÷ 3 = 11.33, so 12 spaces of 34 ÷ 12 = 2.8333 in.
    on_80 = place_fasteners(80 * INCH, 3 * INCH, INCH, 2)
    assert on_80 == tuple((1 + 3 * place) * INCH for place in range(27))
    on_36 = place_fasteners(36 * INCH, 3 * INCH, INCH, 2)
    assert (len(on_36), on_36[0], on_36[-1]) == (13, INCH, 35 * INCH)
    assert on_36[6] == 18 * INCH
    assert {b - a for a, b in pairwise(on_36)} <= {71_966_666, 71_966_667}


@pytest.mark.parametrize(
    ("length_mm", "fewest", "positions_mm"),
    [(40, 2, (10, 30)), (50, 2, (12.5, 37.5)), (30, 3, (5, 15, 25)), (60, 2, (25, 35))],
)
def test_piece_too_short_for_its_end_distances_is_divided_evenly(
    length_mm: int, fewest: int, positions_mm: tuple[float, ...]
) -> None:
    mm = NM_PER_MILLIMETRE
    placed = place_fasteners(length_mm * mm, 100 * mm, 25 * mm, fewest)
    assert placed == tuple(int(position * mm) for position in positions_mm)


def test_every_piece_that_is_cut_has_a_label() -> None:
    plan = small().plan
    labels = list_labels(plan)
    # Three doors of five pieces and two windows of four: 15 + 8 = 23.
    assert sum(label.copies for label in labels) == 23
    assert all(sum(pieces for _, pieces in label.from_patterns) == label.copies for label in labels)


def test_label_tells_mark_edge_member_and_length_in_both_units() -> None:
    labels = list_labels(small().plan)
    (label,) = [one for one in labels if one.mark == "D-1" and one.edge is Edge.HINGE_JAMB]
    assert render_labels([replace(label, length_nm=73 * INCH // 2)], LengthUnit.INCH) == (
        "2 × D-1 hinge jamb, jamb member\n"
        "    36 1/2 in (927.1 mm)\n"
        "    on the frame; interlocking-strip, zinc\n"
    )
    segment = replace(label, segment_of_nm=100 * INCH, segment_end=EdgeEnd.LOWER)
    spliced = render_labels([segment], LengthUnit.INCH)
    assert "80 in (2032 mm), the lower part of a spliced 100 in (2540 mm)" in spliced


def test_spans_of_a_bar_join_and_fill_it() -> None:
    example = small()
    for diagram in draw_cutting_diagrams(example.plan, example.order.policy.kerf_nm):
        ends = [0, *(span.end_nm for span in diagram.spans)]
        assert ends[:-1] == [span.start_nm for span in diagram.spans]
        assert ends[-1] == diagram.stock_nm


def test_cutting_diagram_is_drawn_to_scale_and_measured_from_the_left() -> None:
    example = small()
    diagram = draw_cutting_diagrams(example.plan, example.order.policy.kerf_nm)[1]
    # 1/4 trim, 80, 1/8 kerf, 36, 1/8 kerf, 3 1/4 drop, 1/4 trim: 120 in.
    assert [(span.kind, span.length_nm) for span in diagram.spans] == [
        (SpanKind.TRIM, INCH // 4),
        (SpanKind.PIECE, 80 * INCH),
        (SpanKind.KERF, INCH // 8),
        (SpanKind.PIECE, 36 * INCH),
        (SpanKind.KERF, INCH // 8),
        (SpanKind.DROP, 13 * INCH // 4),
        (SpanKind.TRIM, INCH // 4),
    ]
    text = render_cutting_diagrams([diagram], LengthUnit.INCH).splitlines()
    assert text[0] == "P2: 6 bars LS-120-Z, 120 in, interlocking-strip, zinc"
    assert text[1].strip().startswith("x=") and text[1].endswith("|..x")
    assert len(text[1]) <= LINE_WIDTH
    assert text[2:] == [
        "    piece  80 in, from 1/4 in to 80 1/4 in",
        "    piece  36 in, from 80 3/8 in to 116 3/8 in",
        "    drop   3 1/4 in, from 116 1/2 in to 119 3/4 in",
        "    6 × 80 in for D-1",
        "    4 × 36 in for D-1",
        "    2 × 36 in for D-2",
    ]


def test_last_kerf_is_what_the_bar_leaves() -> None:
    example = small()
    sheet = example.plan.patterns[0]
    # 96 = 2 × 1/4 + 40 + 1/8 + 55 1/4 + 1/8: the second kerf fits; with 55 5/16 only 1/16 is left.
    tight = replace(
        sheet,
        cuts=((55 * INCH + 5 * INCH // 16, 1), (40 * INCH, 1)),
        kerf_nm=INCH // 8 + INCH // 16,
        drop_nm=0,
    )
    plan = replace(example.plan, patterns=(tight,))
    (diagram,) = draw_cutting_diagrams(plan, INCH // 8)
    assert [s.length_nm for s in diagram.spans if s.kind is SpanKind.KERF] == [
        INCH // 8,
        INCH // 16,
    ]


def test_install_sheet_has_positions_that_agree_with_the_count_per_piece() -> None:
    takeoff = take_off(SMALL)
    sheets = write_install_sheets(takeoff, applicable_cautions(take_off(SMALL)))
    assert [sheet.opening.mark for sheet in sheets] == ["D-1", "D-2", "W-1"]
    for sheet in sheets:
        (fasteners,) = sheet.fasteners
        assert fasteners.at_positions == sum(
            piece.count * len(piece.positions_nm) for piece in sheet.pieces
        )
    # 3 × 27 + 2 × 13 = 107 by piece, 312 ÷ 3 = 104 by running length.
    assert (sheets[0].fasteners[0].at_positions, sheets[0].fasteners[0].by_running_length) == (
        107,
        104,
    )


def test_install_sheet_shows_only_the_cautions_of_its_opening() -> None:
    sheets = write_install_sheets(take_off(SMALL), applicable_cautions(take_off(SMALL)))
    codes = {sheet.opening.mark: {caution.code for caution in sheet.cautions} for sheet in sheets}
    assert "glazing" in codes["W-1"]
    assert "glazing" not in codes["D-1"]
    assert "fire-rated" in codes["D-1"]
    assert "fire-rated" not in codes["W-1"]


def test_install_sheet_of_several_works_has_the_steps_of_each() -> None:
    door = replace(
        TEN_DOORS.openings[0], also=("threshold", "sweep"), threshold=Threshold.INTERLOCKING
    )
    order = replace(TEN_DOORS, openings=(door,))
    (sheet,) = write_install_sheets(take_off(order), applicable_cautions(take_off(order)))
    statements = [statement for statement, _ in sheet.steps]
    assert any(statement.startswith("Scribe the ends") for statement in statements)
    assert any(statement.startswith("Cut the sweep") for statement in statements)
    assert [piece.fastener for piece in sheet.pieces][-3:] == [
        "threshold-screw",
        "strip-nail",
        "sweep-screw",
    ]


HEAD_SHEET = """\
Install sheet, D-1: 10 single doors, opening 36 in × 80 in, zinc
Net sizes: leaf width 35 3/4 in

PIECES OF EACH OPENING, EDGE BY EDGE
====================================
Head
  frame member: 1 × 36 in (914.4 mm) on the frame, interlocking-strip, zinc. The head takes
  two nested members: this one is on the frame, over its full width.
    13 strip-nails at 3 in or less: the first 1 in from each end, then 2 27/32 in apart.
    Inches from either end: 1, 3 27/32, 6 21/32, 9 1/2, 12 11/32, 15 5/32, 18, 20 27/32,
    23 21/32, 26 1/2, 29 11/32, 32 5/32, 35
  leaf member: 1 × 35 3/4 in (about 908.1 mm) on the leaf, interlocking-strip, zinc. The
  head takes two nested members: this one is on the rabbeted top edge of the leaf, over its
  full width.
    13 strip-nails at 3 in or less: the first 1 in from each end, then 2 13/16 in apart.
    Inches from either end: 1, 3 13/16, 6 5/8, 9 7/16, 12 1/4, 15 1/16, 17 7/8, 20 11/16,
    23 1/2, 26 5/16, 29 1/8, 31 15/16, 34 3/4

FASTENERS OF EACH OPENING
=========================
- Strip-nails: 26 at these positions; 24 by running length. Where they were bought by
  running length, 2 are lacking: take them from the allowance, or stretch the spacing.

CUTS IN THE LEAF
================
What the profile's maker publishes goes before every figure here: check it against the
maker's sheet.
- Groove in the hinge stile: at least 0.12 in (near 1/8 in) wide, 0.3305 in (near 21/64 in)
  deep.
- Cut it in one pass with a 1/8 in bit, which leaves 0.0145 in on each side of the rib.
- Bits at or under its width: 3/32 in, 2 passes; 1/16 in, 2 passes.
- The leaf is thick enough: it needs 7/8 in, and 13/16 in is left on each side of the
  groove.
- Rabbet at strike and head: measure the nested members' width and depth first; it does not
  follow from the section of one.

ORDER OF WORK
=============
1. Check that leaf and frame are square and plumb, and mend hinges and joints first. (common
   practice, no source)
2. Cut groove and rabbet in scrap of the leaf's thickness and try them on the strip. (common
   practice, no source)
3. Take the leaf off, lay it flat, and cut the rabbets along every edge where members nest,
   with a rabbet bit. (common practice, no source)
4. Cut the groove in the hinged edge of the leaf with a slot cutter. (common practice, no
   source)
5. Fasten the members on the frame: the hinged side, then the head, then the others. (common
   practice, no source)
6. Fasten the members on the leaf, hang it, and see that it closes without force before the
   last nails go in. (common practice, no source)
7. All along: where a position falls on a hinge, a keeper, a lock or a pulley, set that
   fastener beside it. (common practice, no source)

CAUTIONS
========
- Never stand a leaf on an edge that carries strip: a bent member no longer locks and has to
  be replaced. Lay the leaf flat on blocks, and follow the local rules for lifting. (common
  practice, no source)

HOW IT WAS WORKED OUT
=====================
- Fasteners of a piece: (length − 2 × end distance) ÷ spacing, rounded up, + 1; one at the
  end distance from each end, the others at even spaces between them. A piece too short for
  both end distances has its fasteners in the middles of equal parts. (even division; common
  practice, no source)
- Leaf width: 35 3/4 in = opening width − jamb gaps, with opening width 36 in, jamb gaps
  1/4 in (the size that is stated and the policy's clearances; common practice, no source).
- Least groove width: 0.12 in = rib thickness + 2 × running clearance, with rib thickness
  0.096 in, running clearance 0.012 in (geometry of the section; clearances common practice,
  no source; section: common practice, no source).
- Groove depth: 0.3305 in = height − metal − hinge gap + bottom clearance, with height
  0.425 in, metal 0.032 in, hinge gap 1/8 in, bottom clearance 1/16 in (geometry of the
  section; clearances common practice, no source; section: common practice, no source).
- Least leaf thickness for the groove: 7/8 in = groove + 2 × shoulder, with groove 1/8 in,
  shoulder 3/8 in (common practice, no source).
- Shoulder left on each side of the groove: 13/16 in = (leaf thickness − groove) ÷ 2, with
  leaf thickness 1 3/4 in, groove 1/8 in (geometry of the section; clearances common
  practice, no source).
"""


def test_install_sheet_reads_line_by_line() -> None:
    door = replace(TEN_DOORS.openings[0], edges=frozenset({Edge.HEAD}))
    gaps = Clearances(jamb_nm=INCH // 8, head_nm=INCH // 8)
    order = replace(TEN_DOORS, openings=(door,), policy=Policy(clearances=gaps))
    takeoff = take_off(order)
    (told, *_) = (c for c in applicable_cautions(takeoff) if c.code == "bent-strip")
    (sheet,) = write_install_sheets(
        takeoff,
        [told],
        fits={"D-1": Fit(preparation=prepare_leaf(PROFILE, LEAF_NM, FitSettings()))},
        sizes={"D-1": [work_out_sizes(door, gaps)["leaf-width"]]},
    )
    text = render_install_sheet(sheet, LengthUnit.INCH, SAY)
    # 36 − 1/4 = 35 3/4; 34 ÷ 12 = 2.8333 and 33 3/4 ÷ 12 = 2.8125 in, marked to 1/32.
    assert text == HEAD_SHEET


def test_notices_of_a_mark_stand_on_its_own_sheet() -> None:
    pair = replace(TEN_DOORS.openings[0], mark="P-1", kind=OpeningKind.PAIR_OF_DOORS)
    order = replace(
        TEN_DOORS,
        openings=(TEN_DOORS.openings[0], replace(pair, quantity=1), replace(pair, mark="P-2")),
    )
    sheets = {sheet.opening.mark: sheet for sheet in write_install_sheets(take_off(order), ())}
    by_others = "meeting-stiles-by-others"
    assert by_others not in {notice.code for notice in sheets["D-1"].notices}
    assert [n.marks for n in sheets["P-1"].notices if n.code == by_others] == [("P-1",)]
    assert [n.marks for n in sheets["P-2"].notices if n.code == by_others] == [("P-2",)]


def test_leaf_too_thin_is_told_on_the_sheet() -> None:
    preparation = prepare_leaf(PROFILE, 7 * INCH // 8 - 1, FitSettings())
    order = replace(TEN_DOORS, openings=TEN_DOORS.openings)
    (sheet,) = write_install_sheets(take_off(order), (), fits={"D-1": Fit(preparation=preparation)})
    assert (
        "The leaf is too thin for this groove: do not cut it. Least 7/8 in."
        in render_install_sheet(sheet, LengthUnit.INCH, SAY)
    )


def test_piece_without_fasteners_has_no_positions() -> None:
    door = replace(TEN_DOORS.openings[0], threshold=Threshold.INTERLOCKING)
    (sheet,) = write_install_sheets(take_off(replace(TEN_DOORS, openings=(door,))), ())
    threshold = sheet.pieces[-2]
    assert (threshold.member, threshold.fastener, threshold.positions_nm) == ("threshold", None, ())


def test_every_rule_set_serves_an_install_sheet() -> None:
    for rule_set, kind in (
        ("spring-metal", OpeningKind.DUTCH_DOOR),
        ("cushion-strip", OpeningKind.AWNING_WINDOW),
        ("double-hung-set", OpeningKind.DOUBLE_HUNG_WINDOW),
        ("perimeter-gasket", OpeningKind.PAIR_OF_DOORS),
    ):
        opening = replace(TEN_DOORS.openings[0], rule_set=rule_set, kind=kind)
        order = replace(TEN_DOORS, openings=(opening,))
        (sheet,) = write_install_sheets(take_off(order), applicable_cautions(take_off(order)))
        assert sheet.steps and all(source for _, source in sheet.steps)
        assert render_install_sheet(sheet, LengthUnit.MILLIMETRE, SAY)


def test_calculation_is_worded_with_formula_inputs_and_source() -> None:
    oak = known_woods()[0]
    grown = swell_wood(
        9 * INCH // 2, oak, Sawn.FLAT, driest=Fraction(8), wettest=Fraction(12), boards=2
    )
    assert word_calculation(grown, LengthUnit.INCH) == (
        "Growth of flat-sawn red oak with moisture: 0.13284 in = boards × width × coefficient × "
        "(wettest − driest), with width 4 1/2 in, boards 2, coefficient 0.00369 per %, wettest "
        "12 %, driest 8 % (USDA Wood Handbook, FPL-GTR-190, chapter 13, table 13-5: red oak, "
        "commercial)."
    )
    assert word_clearance(check_clearance("gap", INCH // 8, grown), LengthUnit.INCH) == (
        "Gap, 1/8 in: not enough, 0.13284 in is needed, 0.00784 in more."
    )
    assert word_clearance(check_clearance("gap", INCH // 4, grown), LengthUnit.INCH) == (
        "Gap, 1/4 in: enough, 0.13284 in is needed."
    )


@pytest.mark.parametrize(
    ("length_nm", "unit", "written"),
    [
        (73 * INCH // 2, LengthUnit.INCH, "36 1/2 in (927.1 mm)"),
        (INCH // 64, LengthUnit.INCH, "1/64 in (about 0.4 mm)"),
        (73 * INCH // 2, LengthUnit.MILLIMETRE, "927.1 mm (36 1/2 in)"),
        (914 * NM_PER_MILLIMETRE, LengthUnit.MILLIMETRE, "914 mm (about 35 63/64 in)"),
        # 1 nm more than an inch can only be shown in millimetres.
        (INCH + 1, LengthUnit.INCH, "25.400001 mm (about 1 in)"),
    ],
)
def test_length_is_written_for_either_rule(length_nm: int, unit: LengthUnit, written: str) -> None:
    assert write_both_units(length_nm, unit) == written


def test_bars_of_one_kind_are_pulled_together() -> None:
    example = small()
    sheets = write_bench_sheets(example.plan, example.order.policy.kerf_nm, ())
    # By hand, in `small`: six, four and three bars, one pattern for each kind.
    assert [(pull.sku, pull.bars) for pull in sheets.bars] == [
        ("LS-96-B", 4),
        ("LS-120-Z", 6),
        ("LS-96-Z", 3),
    ]
    twice = replace(example.plan, patterns=(*example.plan.patterns, *example.plan.patterns[:1]))
    pulled = write_bench_sheets(twice, example.order.policy.kerf_nm, ()).bars
    assert {pull.sku: pull.bars for pull in pulled}[example.plan.patterns[0].sku] == (
        2 * example.plan.patterns[0].bars
    )
    # Two of the five doors come by kit, three are cut, and so are both windows.
    assert sum(opening.cut for opening in sheets.openings) == 3 + 2


def test_bench_sheets_read_line_by_line() -> None:
    example = small()
    sheets = write_bench_sheets(
        example.plan, example.order.policy.kerf_nm, bench_cautions(example.plan.cautions)
    )
    text = render_bench_sheets(sheets)
    assert text.startswith("Bench sheets Harbour Row, small\n\nBARS TO PULL\n============\n")
    assert max(len(line) for line in text.splitlines()) <= LINE_WIDTH
    assert "\nW-1: 2 fixed windows, opening 30 in × 40 in, bronze\n" in text
