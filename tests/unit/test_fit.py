"""Groove, rabbet and movement against the worked values of the trade and against Pint."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pint
import pytest

from optimiser.domain.fit import Calculation
from optimiser.fit import (
    FitRejected,
    FitSettings,
    Metal,
    NestedEnvelope,
    Profile,
    Sawn,
    TemperatureUnit,
    Wood,
    check_clearance,
    expand_strip,
    known_metals,
    known_woods,
    prepare_leaf,
    swell_wood,
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
    grown = expand_strip(inches("80"), metal(name), Fraction(50), TemperatureUnit.FAHRENHEIT)
    assert round(in_inches(grown), 3) == Decimal(growth)


def test_growth_of_strip_agrees_with_pint() -> None:
    units = pint.UnitRegistry()
    for name in ("zinc", "brass", "bronze"):
        per_f = units.Quantity(float(metal(name).high_per_f), "1/delta_degF")
        expected = (
            units.Quantity(2040, "mm") * per_f * units.Quantity(30, "delta_degC").to("delta_degF")
        )
        grown = expand_strip(
            2_040_000_000, metal(name), Fraction(30), TemperatureUnit.CELSIUS
        ).length_nm
        assert grown == pytest.approx(expected.to("nm").magnitude, abs=1)


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
    tight = check_clearance(inches("1/8"), grown)
    assert (tight.enough, tight.left_nm) == (False, -inches("0.00784"))
    assert check_clearance(inches("3/16"), grown).enough
    assert check_clearance(grown.length_nm, grown).enough


def test_moisture_outside_the_handbooks_range_is_refused() -> None:
    with pytest.raises(FitRejected) as caught:
        swell_wood(
            inches("4"), wood("white-pine"), Sawn.QUARTER, driest=Fraction(5), wettest=Fraction(12)
        )
    assert [fault.message for fault in caught.value.faults] == [
        "Moisture from 5 to 12 % is not a rise between 6 and 14 %, where the coefficients hold; "
        "give one.",
        "The coefficient of quarter-sawn white-pine is not known; take flat-sawn, which moves "
        "more.",
    ]
