"""Groove, rabbet and movement against the worked values of the trade and against Pint."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pint
import pytest

from optimiser.domain.fit import Calculation
from optimiser.fit import (
    FitInputs,
    FitRejected,
    FitSettings,
    LeafInMoisture,
    Metal,
    NestedEnvelope,
    Profile,
    PublishedFigures,
    Sawn,
    StripInHeat,
    TemperatureUnit,
    Wood,
    check_clearance,
    expand_strip,
    known_metals,
    known_woods,
    lengthen_wood,
    prepare_leaf,
    swell_wood,
    work_out_fit,
)
from optimiser.units.lengths import LengthUnit, parse_length


def inches(text: str) -> int:
    return parse_length(f"{text} in", LengthUnit.INCH)


# Common practice, no source.
PROFILE = Profile(
    metal_nm=inches("0.032"),
    flange_width_nm=inches("0.403"),
    height_nm=inches("0.425"),
    rib_nm=inches("0.096"),
    source="common practice, no source",
)
LEAF_NM = inches("1 3/4")


def metal(name: str) -> Metal:
    return {entry.id: entry for entry in known_metals()}[name]


def wood(name: str) -> Wood:
    return {entry.id: entry for entry in known_woods()}[name]


def in_inches(calculation: Calculation) -> Decimal:
    return Decimal(calculation.length_nm) / 25_400_000


def test_eighth_inch_bit_takes_the_rib_in_one_pass_and_leaves_0145_a_side() -> None:
    # (0.125 − 0.096) ÷ 2 = 0.0145, computed; a 3/32 bit, 0.09375, is under the rib.
    groove = prepare_leaf(PROFILE, LEAF_NM, FitSettings()).groove
    assert groove.width.length_nm == inches("0.120")
    assert groove.one_pass is not None
    assert groove.one_pass.size_nm == inches("1/8")
    assert groove.one_pass.clearance_each_side_nm == inches("0.0145")
    assert [(bit.size_nm, bit.passes) for bit in groove.at_or_under] == [
        (inches("3/32"), 2),
        (inches("1/16"), 2),
    ]


def test_groove_depth_is_the_worked_one() -> None:
    # 0.425 − 0.032 − 0.125 + 0.0625 = 0.3305 in, computed.
    depth = prepare_leaf(PROFILE, LEAF_NM, FitSettings()).groove.depth
    assert depth.length_nm == inches("0.3305")
    assert depth.formula == "height − metal − hinge gap + bottom clearance"
    assert depth.source.endswith("section: common practice, no source")
    above = replace(PROFILE, height_nm=inches("0.393"), height_includes_flange=False)
    assert prepare_leaf(above, LEAF_NM, FitSettings()).groove.depth.length_nm == depth.length_nm


def test_leaf_needs_the_groove_and_two_shoulders() -> None:
    # 1/8 + 2 × 3/8 = 0.875 in, computed.
    margin = prepare_leaf(PROFILE, inches("7/8"), FitSettings()).groove.margin
    assert margin.least_thickness.length_nm == inches("0.875")
    assert margin.left.length_nm == inches("3/8")
    assert margin.enough
    assert not prepare_leaf(PROFILE, inches("7/8") - 1, FitSettings()).groove.margin.enough


def test_rabbet_is_the_measured_envelope_and_its_clearance() -> None:
    # 7/16 + 1/32 = 15/32 wide, 1/2 + 1/32 = 17/32 deep; 1 3/4 − 15/32 = 1 9/32 left.
    nested = NestedEnvelope(width_nm=inches("7/16"), depth_nm=inches("1/2"))
    rabbet = prepare_leaf(PROFILE, LEAF_NM, FitSettings(), nested=nested).rabbet
    assert rabbet is not None
    assert rabbet.width.length_nm == inches("15/32")
    assert rabbet.depth.length_nm == inches("17/32")
    assert rabbet.margin.left.length_nm == inches("1 9/32")
    assert rabbet.margin.enough
    assert prepare_leaf(PROFILE, LEAF_NM, FitSettings()).rabbet is None


def test_without_a_bit_wide_enough_the_groove_takes_passes() -> None:
    settings = FitSettings(bits_nm=(inches("1/16"),))
    groove = prepare_leaf(PROFILE, LEAF_NM, settings).groove
    assert groove.one_pass is None
    assert [bit.passes for bit in groove.at_or_under] == [2]
    assert groove.margin.least_thickness.length_nm == inches("0.870")


def test_one_pass_leaves_no_more_than_twice_the_running_clearance() -> None:
    # 0.096 + 4 × 0.012 = 0.144 in: a 9/64 bit, 0.140625, will do; a 5/32 bit, 0.15625, is loose.
    def one_pass(*bits: str) -> int | None:
        settings = FitSettings(bits_nm=tuple(inches(bit) for bit in bits))
        bit = prepare_leaf(PROFILE, LEAF_NM, settings).groove.one_pass
        return None if bit is None else bit.size_nm

    assert one_pass("9/64", "5/32") == inches("9/64")
    assert one_pass("5/32", "1/2") is None
    published = PublishedFigures(groove_width_nm=inches("0.13"), source="an invented sheet")
    groove = prepare_leaf(replace(PROFILE, published=published), LEAF_NM, FitSettings()).groove
    assert groove.one_pass is None
    assert [(bit.size_nm, bit.passes) for bit in groove.at_or_under] == [
        (inches("1/8"), 2),
        (inches("3/32"), 2),
        (inches("1/16"), 3),
    ]


def test_all_faults_of_a_fit_are_named_together() -> None:
    wrong = replace(PROFILE, metal_nm=0, rib_nm=-1)
    with pytest.raises(FitRejected) as caught:
        prepare_leaf(wrong, 0, FitSettings(shoulder_nm=-1))
    assert [(fault.path, fault.code) for fault in caught.value.faults] == [
        (("profile", "metal"), "length-not-positive"),
        (("profile", "rib"), "length-not-positive"),
        (("settings", "shoulder"), "length-negative"),
        (("leaf_thickness",), "length-not-positive"),
    ]


def test_section_that_cannot_be_is_refused() -> None:
    with pytest.raises(FitRejected) as caught:
        prepare_leaf(replace(PROFILE, rib_nm=inches("1/2")), LEAF_NM, FitSettings())
    assert str(caught.value) == (
        "The profile's rib is 1/2 in, not less than its flange width, 0.403 in; correct the "
        "section."
    )


def test_rib_that_does_not_reach_across_the_gap_is_refused() -> None:
    with pytest.raises(FitRejected) as caught:
        prepare_leaf(PROFILE, LEAF_NM, FitSettings(hinge_gap_nm=inches("1/2")))
    assert [fault.code for fault in caught.value.faults] == ["rib-does-not-reach"]


# Coefficients and worked values: Callister, App. B.6; amesweb.info; USDA FPL-GTR-190, ch. 13.
@pytest.mark.parametrize(
    ("name", "growth"), [("zinc", "0.072"), ("brass", "0.044"), ("bronze", "0.041")]
)
def test_strip_of_80_in_over_50_f_grows_as_worked(name: str, growth: str) -> None:
    grown = expand_strip(
        inches("80"),
        metal(name),
        coldest=Fraction(20),
        warmest=Fraction(70),
        unit=TemperatureUnit.FAHRENHEIT,
    )
    assert round(in_inches(grown), 3) == Decimal(growth)


def test_growth_of_strip_agrees_with_pint() -> None:
    units = pint.UnitRegistry()
    for name in ("zinc", "brass", "bronze", "aluminium"):
        per_f = units.Quantity(float(metal(name).high_per_f), "1/delta_degF")
        for unit, theirs in (
            (TemperatureUnit.CELSIUS, "degC"),
            (TemperatureUnit.FAHRENHEIT, "degF"),
        ):
            rise = units.Quantity(40, theirs) - units.Quantity(-10, theirs)
            expected = units.Quantity(2040, "mm") * per_f * rise.to("delta_degF")
            grown = expand_strip(
                2_040_000_000, metal(name), coldest=Fraction(-10), warmest=Fraction(40), unit=unit
            ).length_nm
            assert grown == pytest.approx(expected.to("nm").magnitude, abs=1)


@pytest.mark.parametrize(
    ("name", "low_per_c", "high_per_c"),
    [
        ("zinc", "23.0", "32.5"),
        ("brass", "19.9", "19.9"),
        ("bronze", "18.4", "18.4"),
        ("aluminium", "21.5", "23.6"),
    ],
)
def test_coefficients_of_metals_agree_with_those_printed_beside_them_per_celsius(
    name: str, low_per_c: str, high_per_c: str
) -> None:
    # Both columns are printed in the tables that the coefficients are from, each rounded to a
    # tenth: Callister, Table B.6 (alloys 356.0 and 1100 for aluminium); amesweb.info for C22000.
    for per_f, per_c in (
        (metal(name).low_per_f, low_per_c),
        (metal(name).high_per_f, high_per_c),
    ):
        assert abs(per_f * 10**6 - Fraction(per_c) * Fraction(5, 9)) <= Fraction(1, 10)


# Shrinkage from green to ovendry, radial and tangential: FPL-GTR-190, chapter 4, Table 4-3.
GREEN_TO_OVENDRY = {
    "beech": ("5.5", "11.9"),
    "yellow-birch": ("7.3", "9.5"),
    "white-ash": ("4.9", "7.8"),
    "black-cherry": ("3.7", "7.1"),
    "chestnut": ("3.4", "6.7"),
    "black-walnut": ("5.5", "7.8"),
    "white-fir": ("3.3", "7.0"),
    # Eastern white pine's shrinkage is from memory, not verified.
    "white-pine": ("2.1", "6.1"),
}


@pytest.mark.parametrize("name", GREEN_TO_OVENDRY)
def test_coefficients_of_woods_follow_from_their_shrinkage(name: str) -> None:
    # The coefficients hold for the size at 10 %: S % of the green size over 30 % of moisture is
    # S ÷ 30 of 100 − S × (30 − 10) ÷ 30 for each per cent. The table prints five decimals.
    radial, tangential = (
        Fraction(shrinkage) / 30 / (100 - Fraction(shrinkage) * 20 / 30)
        for shrinkage in GREEN_TO_OVENDRY[name]
    )
    known = wood(name)
    assert abs(known.tangential - tangential) <= Fraction("0.00001")
    assert known.radial is not None
    assert abs(known.radial - radial) <= Fraction("0.00001")


def test_worked_example_of_the_handbook_comes_out() -> None:
    # FPL-GTR-190, chapter 13, equation 13-2: a flat-sawn white fir board of 232 mm, from 8 to
    # 11 %: 232 × 0.00245 × 3 = 1.705 mm; in inches 9.15 gives 0.067.
    def grown(size_nm: int) -> int:
        return swell_wood(
            size_nm, wood("white-fir"), Sawn.FLAT, driest=Fraction(8), wettest=Fraction(11)
        ).length_nm

    assert grown(232_000_000) == 1_705_200
    assert round(Decimal(grown(inches("9.15"))) / 25_400_000, 3) == Decimal("0.067")


def test_wood_hardly_grows_along_its_grain() -> None:
    # 80 in × 0.2 % × 4 ÷ 30 = 0.021333… in: FPL-GTR-190, chapter 4, 0.2 % from green to ovendry.
    grown = lengthen_wood(inches("80"), driest=Fraction(8), wettest=Fraction(12))
    assert grown.length_nm == -(-inches("80") * 8 // 30_000)
    assert round(in_inches(grown), 4) == Decimal("0.0213")


def test_two_red_oak_stiles_swell_as_worked() -> None:
    # 2 × 4.5 × 0.00369 × 4 = 0.13284 in: 0.133.
    grown = swell_wood(
        inches("4 1/2"),
        wood("red-oak"),
        Sawn.FLAT,
        driest=Fraction(8),
        wettest=Fraction(12),
        boards=2,
    )
    assert grown.length_nm == inches("0.13284")
    quartered = swell_wood(
        inches("4 1/2"), wood("red-oak"), Sawn.QUARTER, driest=Fraction(8), wettest=Fraction(12)
    )
    assert quartered.length_nm == inches("0.02844")
    assert "FPL-GTR-190, chapter 13" in grown.source


def test_clearance_is_held_against_all_movements_together() -> None:
    # 0.13284 in of swelling in two gaps of 1/16 in: 0.00784 in lacks; in two of 3/32 in it fits.
    grown = swell_wood(
        inches("4 1/2"),
        wood("red-oak"),
        Sawn.FLAT,
        driest=Fraction(8),
        wettest=Fraction(12),
        boards=2,
    )
    tight = check_clearance("gap", inches("1/8"), grown)
    assert (tight.enough, tight.left_nm) == (False, -inches("0.00784"))
    assert check_clearance("gap", inches("3/16"), grown).enough
    assert check_clearance("gap", grown.length_nm, grown).enough


def test_moisture_outside_the_handbooks_range_is_refused() -> None:
    flat_alone = replace(wood("white-pine"), radial=None)
    with pytest.raises(FitRejected) as caught:
        swell_wood(inches("4"), flat_alone, Sawn.QUARTER, driest=Fraction(5), wettest=Fraction(12))
    assert [fault.message for fault in caught.value.faults] == [
        "Moisture from 5 to 12 % is not a rise between 6 and 14 %, where the coefficients hold; "
        "give one.",
        "The coefficient of quarter-sawn white-pine is not known; take flat-sawn, which moves "
        "more.",
    ]


PUBLISHED = PublishedFigures(
    groove_width_nm=inches("5/32"),
    groove_depth_nm=inches("3/8"),
    rabbet_width_nm=inches("1/2"),
    rabbet_depth_nm=inches("5/8"),
    leaf_thickness_nm=inches("1 3/8"),
    source="data sheet of an invented maker",
)


def test_what_the_maker_publishes_wins() -> None:
    fit = prepare_leaf(replace(PROFILE, published=PUBLISHED), LEAF_NM, FitSettings())
    groove = fit.groove
    assert (groove.width.length_nm, groove.width.worked_out_nm) == (inches("5/32"), inches("0.120"))
    assert (groove.depth.length_nm, groove.depth.worked_out_nm) == (inches("3/8"), inches("0.3305"))
    assert groove.width.published_by == "data sheet of an invented maker"
    # The bits follow the published width: (5/32 − 0.096) ÷ 2 = 0.030125 in on each side.
    assert groove.one_pass is not None
    assert groove.one_pass.size_nm == inches("5/32")
    assert groove.one_pass.clearance_each_side_nm == inches("0.030125")
    assert [bit.size_nm for bit in groove.at_or_under] == [
        inches(size) for size in ("5/32", "1/8", "3/32", "1/16")
    ]
    assert groove.margin.least_thickness.length_nm == inches("1 3/8")
    # Without a measured envelope the rabbet is the maker's.
    assert fit.rabbet is not None
    assert (fit.rabbet.width.length_nm, fit.rabbet.width.formula) == (inches("1/2"), "as published")
    thin = prepare_leaf(replace(PROFILE, published=PUBLISHED), inches("1 5/16"), FitSettings())
    assert not thin.groove.margin.enough


def test_published_groove_under_the_rib_is_refused() -> None:
    narrow = replace(PUBLISHED, groove_width_nm=inches("3/32"))
    with pytest.raises(FitRejected) as caught:
        prepare_leaf(replace(PROFILE, published=narrow), LEAF_NM, FitSettings())
    (fault,) = caught.value.faults
    assert (fault.path, fault.code) == (
        ("profile", "published", "groove_width"),
        "groove-under-rib",
    )
    assert fault.message == (
        "The published groove width is 3/32 in, not more than the rib, 0.096 in; correct one of "
        "them."
    )


def test_a_whole_fit_names_every_fault_at_once() -> None:
    inputs = FitInputs(
        profile=replace(PROFILE, metal_nm=0),
        leaf_thickness_nm=LEAF_NM,
        heat=StripInHeat(
            metal=metal("zinc"),
            coldest=Fraction(20),
            warmest=Fraction(20),
            unit=TemperatureUnit.FAHRENHEIT,
            end_clearance_nm=0,
        ),
        moisture=LeafInMoisture(
            wood=wood("red-oak"),
            sawn=Sawn.FLAT,
            board_width_nm=inches("4 1/2"),
            boards=2,
            driest=Fraction(4),
            wettest=Fraction(12),
            strike_gap_nm=inches("1/8"),
        ),
    )
    with pytest.raises(FitRejected) as caught:
        work_out_fit(inputs, strip_nm=inches("80"))
    assert [(fault.path, fault.code) for fault in caught.value.faults] == [
        (("profile", "metal"), "length-not-positive"),
        (("heat", "warmest"), "no-range"),
        (("moisture",), "moisture-out-of-range"),
    ]
    assert caught.value.faults[1].message == (
        "The warmest, 20 °F, is not above the coldest, 20 °F; give a range."
    )


def test_every_clearance_that_is_asked_for_gets_a_verdict() -> None:
    inputs = FitInputs(
        profile=PROFILE,
        leaf_thickness_nm=LEAF_NM,
        heat=StripInHeat(
            metal=metal("brass"),
            coldest=Fraction(-10),
            warmest=Fraction(40),
            unit=TemperatureUnit.CELSIUS,
            end_clearance_nm=inches("1/8"),
        ),
        moisture=LeafInMoisture(
            wood=wood("red-oak"),
            sawn=Sawn.QUARTER,
            board_width_nm=inches("4 1/2"),
            boards=2,
            driest=Fraction(8),
            wettest=Fraction(12),
            strike_gap_nm=inches("1/16"),
            height_nm=inches("80"),
            head_gap_nm=inches("1/64"),
        ),
    )
    checks = work_out_fit(inputs, strip_nm=inches("80")).checks
    # 80 × 11.1 × 9 ÷ 5 × 50 ÷ 10⁶ = 0.07992; 2 × 4.5 × 0.00158 × 4 = 0.05688; 0.0213 above.
    assert [(check.what, check.enough) for check in checks] == [
        ("clearance at the strip's ends", True),
        ("gap at the strike", True),
        ("gap at the head", False),
    ]
    assert checks[0].needed.length_nm == inches("0.07992")
    assert checks[1].left_nm == inches("1/16") - inches("0.05688")
    no_strip = work_out_fit(inputs, strip_nm=None).checks
    assert [check.what for check in no_strip] == ["gap at the strike", "gap at the head"]
