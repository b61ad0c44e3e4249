"""Fit and preparation: groove, rabbet and movement, from a profile's section and a leaf."""

from optimiser.fit.coefficients import Metal, Wood, known_metals, known_woods
from optimiser.fit.faults import FitRejected
from optimiser.fit.movement import (
    Sawn,
    TemperatureUnit,
    check_clearance,
    expand_strip,
    swell_wood,
)
from optimiser.fit.prepare import prepare_leaf
from optimiser.fit.profile import FitSettings, NestedEnvelope, Profile

__all__ = [
    "FitRejected",
    "FitSettings",
    "Metal",
    "NestedEnvelope",
    "Profile",
    "Sawn",
    "TemperatureUnit",
    "Wood",
    "check_clearance",
    "expand_strip",
    "known_metals",
    "known_woods",
    "prepare_leaf",
    "swell_wood",
]
