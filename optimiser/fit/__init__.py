"""Fit and preparation: groove, rabbet and movement, from a profile's section and a leaf."""

from optimiser.fit.coefficients import Metal, Wood, known_metals, known_woods
from optimiser.fit.faults import FitRejected
from optimiser.fit.movement import (
    Sawn,
    TemperatureUnit,
    check_clearance,
    expand_strip,
    lengthen_wood,
    swell_wood,
)
from optimiser.fit.prepare import prepare_leaf
from optimiser.fit.profile import FitSettings, NestedEnvelope, Profile, PublishedFigures
from optimiser.fit.work_out import FitInputs, LeafInMoisture, StripInHeat, work_out_fit

__all__ = [
    "FitInputs",
    "FitRejected",
    "FitSettings",
    "LeafInMoisture",
    "Metal",
    "NestedEnvelope",
    "Profile",
    "PublishedFigures",
    "Sawn",
    "StripInHeat",
    "TemperatureUnit",
    "Wood",
    "check_clearance",
    "expand_strip",
    "known_metals",
    "known_woods",
    "lengthen_wood",
    "prepare_leaf",
    "swell_wood",
    "work_out_fit",
]
