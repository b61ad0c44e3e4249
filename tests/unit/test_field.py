"""Measurements on site, two readings of an opening, and fasteners that were weighed."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimiser.domain.faults import InvalidOrder
from optimiser.domain.field import Finding, FindingCode, Reading, ReadingLimits, WeighedSample
from optimiser.domain.opening import Opening, OpeningKind, SashCords, Threshold
from optimiser.field import calibrate_pack, check_readings, list_measurements
from optimiser.render import render_measurement_sheet, render_reading_check
from optimiser.render.table import LINE_WIDTH
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
        "W-1: both readings agree; it may be cut.\n"
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
        "W-1: do not cut yet, 2 to settle.\n"
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
    assert text.splitlines()[:7] == [
        "Measurements, W-1: 2 fixed windows, opening 36 in × 80 in, zinc",
        "One sheet for each of the 2 openings.",
        "In inches; read twice, the second time without looking at the first.",
        "",
        "No  First     Second    What and how",
        f"--  --------  --------  {'-' * 68}",
        " 1  ________  ________  width of the frame's opening, top: between the jambs, level",
    ]
    assert max(len(line) for line in text.splitlines()) <= LINE_WIDTH


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
