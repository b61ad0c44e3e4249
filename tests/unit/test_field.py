"""Measurements on site, two readings of an opening, and fasteners that were weighed."""

import math
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pint
import pytest

from optimiser.domain.clearances import Clearances
from optimiser.domain.faults import InvalidOrder
from optimiser.domain.field import Finding, FindingCode, Reading, ReadingLimits, WeighedSample
from optimiser.domain.opening import Opening, OpeningKind, SashCords, SizeOf, Threshold
from optimiser.field import calibrate_pack, check_readings, list_measurements
from optimiser.render import (
    render_calibration,
    render_measurement_sheet,
    render_reading_check,
    word_finding,
)
from optimiser.render.table import LINE_WIDTH
from optimiser.takeoff import work_out_sizes
from optimiser.units.lengths import NM_PER_INCH, LengthUnit
from optimiser.units.masses import GRAMS_PER_OUNCE, GRAMS_PER_POUND

DOOR = Opening(
    mark="D-1",
    kind=OpeningKind.SINGLE_DOOR,
    width_nm=36 * NM_PER_INCH,
    height_nm=80 * NM_PER_INCH,
    finish="zinc",
)
WINDOW = replace(DOOR, mark="W-1", kind=OpeningKind.FIXED_WINDOW)
SQUARE = {
    **{f"width-{place}": 36 * NM_PER_INCH for place in ("top", "middle", "bottom")},
    **{f"height-{place}": 80 * NM_PER_INCH for place in ("left", "middle", "right")},
    "diagonal-rising": 88 * NM_PER_INCH,
    "diagonal-falling": 88 * NM_PER_INCH,
}


def reading(**changed_nm: int) -> Reading:
    changed = {name.replace("_", "-"): nm for name, nm in changed_nm.items()}
    return Reading(lengths_nm=tuple((SQUARE | changed).items()))


def ids(opening: Opening) -> list[str]:
    return [measurement.id for measurement in list_measurements(opening).measurements]


def test_every_kind_is_measured_at_three_widths_three_heights_and_two_diagonals() -> None:
    for kind in OpeningKind:
        named = ids(replace(DOOR, kind=kind))
        assert named[:8] == list(SQUARE)
        assert len(set(named)) == len(named)


def test_each_kind_adds_what_it_needs() -> None:
    assert ids(WINDOW) == list(SQUARE)
    assert ids(DOOR)[8:] == [
        "leaf-width",
        "leaf-height",
        "leaf-thickness",
        "hinge-gap",
        "strike-gap",
        "head-gap",
        "sill-gap",
        "keeper-height",
        "keeper-length",
    ]
    assert ids(replace(DOOR, threshold=Threshold.PLAIN))[-2:] == ["sill-width", "jamb-notch"]
    pair = ids(replace(DOOR, kind=OpeningKind.PAIR_OF_DOORS))
    assert {"active-leaf-width", "inactive-leaf-width", "meeting-gap"} <= set(pair)
    hung = replace(DOOR, kind=OpeningKind.DOUBLE_HUNG_WINDOW)
    assert "pulley-gap" not in ids(hung)
    assert ids(replace(hung, sash_cords=SashCords.OVER_PULLEYS))[-1] == "pulley-gap"


def test_readings_that_agree_let_the_opening_be_cut() -> None:
    sixteenth = NM_PER_INCH // 16
    check = check_readings(
        list_measurements(WINDOW),
        reading(),
        reading(width_top=36 * NM_PER_INCH + sixteenth, diagonal_rising=88 * NM_PER_INCH),
    )
    assert check.may_be_cut
    assert dict(check.differences_nm)["width-top"] == sixteenth
    assert render_reading_check(check, LengthUnit.INCH) == (
        "W-1, opening 1: both readings agree; it may be cut.\n"
    )


def test_difference_beyond_the_limit_is_found_and_one_at_it_is_not() -> None:
    limits = ReadingLimits(between_readings_nm=NM_PER_INCH, between_parallels_nm=10 * NM_PER_INCH)
    sheet = list_measurements(WINDOW)
    at = reading(width_top=35 * NM_PER_INCH)
    beyond = reading(width_top=35 * NM_PER_INCH - 1)
    assert check_readings(sheet, reading(), at, limits).may_be_cut
    assert check_readings(sheet, reading(), beyond, limits).findings == (
        Finding(
            code=FindingCode.READINGS_DIFFER,
            reading=0,
            measurements=("width-top",),
            lengths_nm=(36 * NM_PER_INCH, 35 * NM_PER_INCH - 1),
            difference_nm=NM_PER_INCH + 1,
            limit_nm=NM_PER_INCH,
        ),
    )


def test_opening_out_of_square_is_flagged_before_anything_is_cut() -> None:
    skewed = reading(diagonal_rising=88 * NM_PER_INCH + NM_PER_INCH // 4)
    check = check_readings(list_measurements(WINDOW), skewed, skewed)
    assert not check.may_be_cut
    assert render_reading_check(check, LengthUnit.INCH) == (
        "W-1, opening 1: do not cut yet, 2 to settle.\n"
        "- Reading 1: diagonal rising and diagonal falling are 88 1/4 in and 88 in, 1/4 in apart,\n"
        "  above the limit of 1/8 in: out of square. Square the opening, or cut each piece to its "
        "own\n  edge.\n"
        "- Reading 2: diagonal rising and diagonal falling are 88 1/4 in and 88 in, 1/4 in apart,\n"
        "  above the limit of 1/8 in: out of square. Square the opening, or cut each piece to its "
        "own\n  edge.\n"
    )


def test_sides_that_are_not_parallel_name_the_pair_that_differs_most() -> None:
    tapered = reading(width_middle=36 * NM_PER_INCH + 1, width_bottom=37 * NM_PER_INCH)
    check = check_readings(list_measurements(WINDOW), tapered, tapered)
    assert [(f.code, f.measurements, f.difference_nm) for f in check.findings] == [
        (FindingCode.NOT_PARALLEL, ("width-top", "width-bottom"), NM_PER_INCH)
    ] * 2


def test_reading_that_is_not_whole_is_found() -> None:
    partial = Reading(lengths_nm=tuple((SQUARE | {"height-left": 0, "moon": 1}).items())[1:])
    check = check_readings(
        list_measurements(WINDOW),
        partial,
        reading(),
        ReadingLimits(between_readings_nm=10**12, between_parallels_nm=10**12),
    )
    assert [(f.code, f.reading, f.measurements) for f in check.findings] == [
        (FindingCode.NOT_MEASURED, 1, ("width-top",)),
        (FindingCode.NOT_POSITIVE, 1, ("height-left",)),
        (FindingCode.NOT_ASKED, 1, ("moon",)),
    ]


def test_sheet_reads_line_by_line() -> None:
    text = render_measurement_sheet(list_measurements(replace(WINDOW, quantity=2)), LengthUnit.INCH)
    assert text.splitlines()[:9] == [
        "Measurements, W-1: 2 fixed windows, opening 36 in × 80 in, zinc",
        "One sheet for each of the 2 openings.",
        "Opening No ________  Measured by ________________  Date ________",
        "In inches; read twice, the second time without looking at the first. "
        "Left and right are as",
        "seen from the side you work on.",
        "",
        "No  First     Second    Ordered  What and how",
        f"--  --------  --------  -------  {'-' * 59}",
        " 1  ________  ________           width of the frame's opening, top: "
        "between the jambs, level",
    ]
    assert text.splitlines()[-3:] == [
        "Cut nothing before this is settled: readings more than 1/16 in apart; diagonals more than",
        "1/8 in apart (out of square); widths or heights more than 1/8 in "
        "apart; anything more than",
        "1/8 in from what is ordered.",
    ]
    assert max(len(line) for line in text.splitlines()) <= LINE_WIDTH


def test_net_sizes_come_from_nominal_and_rough_by_the_clearances() -> None:
    gaps = Clearances(
        jamb_nm=NM_PER_INCH // 8,
        head_nm=NM_PER_INCH // 8,
        sill_nm=NM_PER_INCH // 4,
        nominal_width_nm=3 * NM_PER_INCH // 16,
        rough_width_nm=2 * NM_PER_INCH,
        rough_height_nm=NM_PER_INCH,
    )
    # A nominal 3-0 leaf is 35 13/16 in net: dcihollowmetal.com, FAQ. Frame 35 13/16 + 1/4.
    nominal = work_out_sizes(replace(DOOR, size_of=SizeOf.NOMINAL), gaps)
    assert nominal["leaf-width"].length_nm == 573 * NM_PER_INCH // 16
    assert nominal["leaf-width"].formula == "nominal width − nominal to net"
    assert nominal["opening-width"].length_nm == 577 * NM_PER_INCH // 16
    # Rough 36 less 2 is 34 in for the frame, less two gaps of 1/8 is 33 3/4 for the leaf.
    rough = work_out_sizes(replace(DOOR, size_of=SizeOf.ROUGH_OPENING), gaps)
    assert rough["opening-width"].length_nm == 34 * NM_PER_INCH
    assert rough["leaf-width"].length_nm == 135 * NM_PER_INCH // 4
    # 80 − 1 − 1/8 − 1/4 = 78 5/8 in.
    assert rough["leaf-height"].length_nm == 629 * NM_PER_INCH // 8
    # 3-4-5: 36 by 48 has a diagonal of 60.
    low = work_out_sizes(replace(DOOR, height_nm=48 * NM_PER_INCH), Clearances())
    assert low["opening-diagonal"].length_nm == 60 * NM_PER_INCH


def test_every_measurement_that_the_order_sizes_says_so() -> None:
    for kind in OpeningKind:
        opening = replace(DOOR, kind=kind)
        sheet = list_measurements(opening, work_out_sizes(opening, Clearances()))
        unsized = {item.id for item in sheet.measurements if item.expected is None}
        # The order states no gaps, thicknesses, keepers or play.
        assert all(
            name.endswith(("-gap", "-thickness", "-play")) or name.startswith("keeper-")
            for name in unsized
        ), (kind, unsized)


def test_what_is_measured_is_held_against_the_order() -> None:
    sheet = list_measurements(WINDOW, work_out_sizes(WINDOW, Clearances()))
    narrow = reading(
        **{
            f"width_{place}": 36 * NM_PER_INCH - NM_PER_INCH // 4
            for place in ("top", "middle", "bottom")
        }
    )
    check = check_readings(sheet, narrow, narrow)
    assert {(f.code, f.reading) for f in check.findings} == {
        (FindingCode.NOT_AS_ORDERED, 1),
        (FindingCode.NOT_AS_ORDERED, 2),
    }
    assert word_finding(check.findings[0], LengthUnit.INCH) == (
        "Reading 1: width top is 35 3/4 in, the order gives 36 in: 1/4 in "
        "apart, above the limit of "
        "1/8 in. Mend the order before anything is bought for it."
    )


# Weighed samples. 1,040 to the pound is common practice, no source: 65 to the ounce.
def test_one_sample_gives_its_own_proportion() -> None:
    pack = calibrate_pack([WeighedSample(grams=GRAMS_PER_POUND, count=1040)], GRAMS_PER_OUNCE)
    assert pack.contents.nominal == 65
    assert pack.contents.tolerance_percent == Decimal("0.0")
    assert pack.contents.basis == "1,040 counted in 1 weighed sample"
    assert pack.spread == 0


def test_several_samples_are_pooled_and_give_a_spread() -> None:
    # By hand, pack 100 g: (50 + 54 + 52) ÷ (80 + 80 + 80) × 100 = 65; samples 62.5, 67.5, 65.
    # Tolerance (65 − 62.5) ÷ 65 = 3.846 %, rounded up 3.9 %; low count ⌊65 × 0.961⌋ = 62.
    samples = [WeighedSample(grams=Fraction(80), count=count) for count in (50, 54, 52)]
    pack = calibrate_pack(samples, Fraction(100))
    assert pack.contents.nominal == 65
    assert (pack.lowest, pack.highest, pack.spread) == (Fraction("62.5"), Fraction("67.5"), 5)
    assert pack.contents.tolerance_percent == Decimal("3.9")
    assert pack.contents.low_count == 62


def test_all_faults_of_samples_are_named_together() -> None:
    with pytest.raises(InvalidOrder) as caught:
        calibrate_pack([WeighedSample(grams=Fraction(0), count=3)], Fraction(0))
    assert [fault.code for fault in caught.value.faults] == [
        "sample-not-positive",
        "mass-not-positive",
    ]
    with pytest.raises(InvalidOrder, match=r"There are no samples; weigh and count at least one\."):
        calibrate_pack([], Fraction(1))


def test_a_scale_that_shows_tenths_gives_one_sample_a_spread() -> None:
    # By hand, pack 100 g, 50 counted in 80 g ± 0.05: 50 ÷ 80.05 × 100 = 62.46, ÷ 79.95 = 62.54.
    (pack,) = [
        calibrate_pack(
            [WeighedSample(grams=Fraction(80), count=50)],
            Fraction(100),
            scale_step_grams=Fraction(1, 10),
        )
    ]
    assert pack.lowest == Fraction(5000) / Fraction("80.05")
    assert pack.highest == Fraction(5000) / Fraction("79.95")
    assert pack.contents.tolerance_percent == Decimal("0.1")
    assert render_calibration(pack).splitlines()[:3] == [
        "A pack of 100 g holds 62.5 (17.7 to the ounce), from 50 counted in 1 weighed sample.",
        "- From 62.5 to 62.5 by the samples: a spread of 0.1.",
        "- Tolerance 0.1 %: the plan counts on 62 in a pack.",
    ]


def test_sample_under_the_step_of_the_scale_is_refused() -> None:
    with pytest.raises(InvalidOrder) as caught:
        calibrate_pack(
            [WeighedSample(grams=Fraction(1), count=3)],
            Fraction(100),
            scale_step_grams=Fraction(2),
        )
    (fault,) = caught.value.faults
    assert (fault.path, fault.code) == (("samples", 0), "sample-under-scale-step")


# Wire nails to the pound, common: 2d 854, 3d 540, 4d 300 (woodtools.nov.ru, "about nails").
@pytest.mark.parametrize(
    ("diameter_in", "length_in", "in_the_table"), [("0.072", "1", 854), ("0.080", "1 1/4", 540)]
)
def test_count_by_weight_agrees_with_the_table_of_wire_nails(
    diameter_in: str, length_in: str, in_the_table: int
) -> None:
    # One nail weighs ρ·π·d²·L ÷ 4 with 7.85 g/cm³ (wire sizes and density from memory): within
    # 4 % of the table, as shank alone without head and point.
    units = pint.UnitRegistry()
    diameter = units.Quantity(float(diameter_in), "inch")
    length = units.Quantity(float(sum(Fraction(part) for part in length_in.split())), "inch")
    nail = units.Quantity(7.85, "g/cm^3") * math.pi * diameter**2 * length / 4
    grams = Fraction(nail.to("g").magnitude).limit_denominator(10**9)
    pack = calibrate_pack([WeighedSample(grams=100 * grams, count=100)], GRAMS_PER_POUND)
    assert abs(pack.contents.nominal - in_the_table) <= Fraction(4, 100) * in_the_table
