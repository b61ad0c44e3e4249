"""All of a fit at once: the cuts in the leaf, and every clearance against what moves into it."""

from dataclasses import dataclass, field
from fractions import Fraction

from optimiser.domain.faults import Fault
from optimiser.domain.fit import ClearanceCheck, Fit, Preparation
from optimiser.fit.coefficients import Metal, Wood
from optimiser.fit.faults import FitRejected, refuse
from optimiser.fit.movement import (
    Sawn,
    TemperatureUnit,
    check_clearance,
    expand_strip,
    lengthen_wood,
    swell_wood,
)
from optimiser.fit.prepare import prepare_leaf
from optimiser.fit.profile import FitSettings, NestedEnvelope, Profile
from optimiser.units.lengths import LengthUnit


@dataclass(frozen=True, slots=True, kw_only=True)
class StripInHeat:
    """The strip over a range of temperature, and the clearance at both its ends together."""

    metal: Metal
    coldest: Fraction
    warmest: Fraction
    unit: TemperatureUnit
    end_clearance_nm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LeafInMoisture:
    """The leaf over a range of moisture, and the gaps that it grows into.

    `board_width_nm` is that of each of `boards` boards side by side across the leaf: the two
    stiles of a framed leaf, since its rails and panels give it no width. The leaf is held at its
    hinges, so that all of its growth goes to the strike. `height_nm`, along the grain of the
    stiles, is held against `head_gap_nm` where both are stated.
    """

    wood: Wood
    sawn: Sawn
    board_width_nm: int
    boards: int
    driest: Fraction
    wettest: Fraction
    strike_gap_nm: int
    height_nm: int | None = None
    head_gap_nm: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FitInputs:
    """All that a fit is worked out from, in nanometres."""

    profile: Profile
    leaf_thickness_nm: int
    settings: FitSettings = field(default_factory=FitSettings)
    nested: NestedEnvelope | None = None
    heat: StripInHeat | None = None
    moisture: LeafInMoisture | None = None


def work_out_fit(
    inputs: FitInputs, *, strip_nm: int | None, unit: LengthUnit = LengthUnit.INCH
) -> Fit:
    """Return the cuts in a leaf, and whether each clearance holds what moves into it.

    `strip_nm` is the longest piece of strip; without one, heat is left out. `unit` is that of
    the faults' wording.

    Raises:
        FitRejected: a size is impossible or a range is none; every fault is named.
    """
    faults: list[Fault] = []
    preparation: Preparation | None = None
    checks: list[ClearanceCheck] = []
    try:
        preparation = prepare_leaf(
            inputs.profile,
            inputs.leaf_thickness_nm,
            inputs.settings,
            nested=inputs.nested,
            unit=unit,
        )
    except FitRejected as rejected:
        faults += rejected.faults
    try:
        if inputs.heat is not None and strip_nm is not None:
            checks.append(_check_strip(inputs.heat, strip_nm))
    except FitRejected as rejected:
        faults += rejected.faults
    try:
        if inputs.moisture is not None:
            checks += _check_leaf(inputs.moisture)
    except FitRejected as rejected:
        faults += rejected.faults
    refuse(faults)
    assert preparation is not None
    return Fit(preparation=preparation, checks=tuple(checks))


def _check_strip(strip: StripInHeat, length_nm: int) -> ClearanceCheck:
    grown = expand_strip(
        length_nm, strip.metal, coldest=strip.coldest, warmest=strip.warmest, unit=strip.unit
    )
    return check_clearance("clearance at the strip's ends", strip.end_clearance_nm, grown)


def _check_leaf(leaf: LeafInMoisture) -> list[ClearanceCheck]:
    swollen = swell_wood(
        leaf.board_width_nm,
        leaf.wood,
        leaf.sawn,
        driest=leaf.driest,
        wettest=leaf.wettest,
        boards=leaf.boards,
    )
    checks = [check_clearance("gap at the strike", leaf.strike_gap_nm, swollen)]
    if leaf.height_nm is not None and leaf.head_gap_nm is not None:
        longer = lengthen_wood(leaf.height_nm, driest=leaf.driest, wettest=leaf.wettest)
        checks.append(check_clearance("gap at the head", leaf.head_gap_nm, longer))
    return checks
