"""Groove and rabbet of a leaf: their sizes, the bits that cut them, what is left of the leaf."""

from optimiser.domain.faults import Fault
from optimiser.domain.fit import Bit, Calculation, GrooveFit, Margin, Preparation, RabbetFit
from optimiser.fit.faults import refuse
from optimiser.fit.profile import (
    FitSettings,
    NestedEnvelope,
    Profile,
    find_profile_faults,
    find_settings_faults,
)
from optimiser.units.counts import ceil_div
from optimiser.units.lengths import LengthUnit, format_length

_GEOMETRY = "geometry of the section; clearances common practice, no source"

STEPS: tuple[tuple[str, str], ...] = (
    (
        "Cut groove and rabbet in scrap of the leaf's thickness and try them on the strip.",
        "common practice, no source",
    ),
    (
        "Take the leaf off, lay it flat, and cut the rabbets at strike and head with a rabbet bit.",
        "common practice, no source",
    ),
    (
        "Cut the groove in the hinge stile with a slot cutter.",
        "common practice, no source",
    ),
)
"""The order of the cuts, each step with its source; they stand in the rule set's steps too."""


def prepare_leaf(
    profile: Profile,
    leaf_thickness_nm: int,
    settings: FitSettings,
    *,
    nested: NestedEnvelope | None = None,
    unit: LengthUnit = LengthUnit.INCH,
) -> Preparation:
    """Return what is cut into a leaf for a profile, worked out in nanometres.

    The rabbet needs the envelope of the nested members, which is measured: it does not follow
    from the section of one. `unit` is that of the faults' wording.

    Raises:
        FitRejected: a size is impossible; every fault is named.
    """
    faults = [*find_profile_faults(profile, unit), *find_settings_faults(settings, unit)]
    sizes = {"leaf_thickness": leaf_thickness_nm}
    if nested is not None:
        sizes |= {"nested_width": nested.width_nm, "nested_depth": nested.depth_nm}
    faults += [
        Fault(
            (name,),
            "length-not-positive",
            f"The {name.replace('_', ' ')} is {format_length(length_nm, unit)}; give more than 0.",
        )
        for name, length_nm in sizes.items()
        if length_nm <= 0
    ]
    if not faults and profile.projection_nm + settings.bottom_clearance_nm <= settings.hinge_gap_nm:
        faults.append(
            Fault(
                ("settings", "hinge_gap"),
                "rib-does-not-reach",
                f"The rib stands {format_length(profile.projection_nm, unit)} above its flange and "
                f"does not reach across the hinge gap, "
                f"{format_length(settings.hinge_gap_nm, unit)}; lessen the gap, or take a higher "
                "profile.",
            )
        )
    refuse(faults)
    groove = _fit_groove(profile, leaf_thickness_nm, settings)
    rabbet = None if nested is None else _fit_rabbet(nested, leaf_thickness_nm, settings)
    return Preparation(groove=groove, rabbet=rabbet, steps=STEPS)


def _fit_groove(profile: Profile, thickness_nm: int, settings: FitSettings) -> GrooveFit:
    width_nm = profile.rib_nm + 2 * settings.running_clearance_nm
    bits = sorted(set(settings.bits_nm))
    wide = [bit_nm for bit_nm in bits if bit_nm >= width_nm]
    one_pass = (
        Bit(size_nm=wide[0], passes=1, clearance_each_side_nm=(wide[0] - profile.rib_nm) // 2)
        if wide
        else None
    )
    cut_nm = one_pass.size_nm if one_pass else width_nm
    return GrooveFit(
        width=Calculation(
            what="least groove width",
            length_nm=width_nm,
            formula="rib thickness + 2 × running clearance",
            inputs_nm=(
                ("rib thickness", profile.rib_nm),
                ("running clearance", settings.running_clearance_nm),
            ),
            source=f"{_GEOMETRY}; section: {profile.source}",
        ),
        depth=Calculation(
            what="groove depth",
            length_nm=profile.projection_nm - settings.hinge_gap_nm + settings.bottom_clearance_nm,
            formula="height − metal − hinge gap + bottom clearance"
            if profile.height_includes_flange
            else "height − hinge gap + bottom clearance",
            inputs_nm=(
                ("height", profile.height_nm),
                *((("metal", profile.metal_nm),) if profile.height_includes_flange else ()),
                ("hinge gap", settings.hinge_gap_nm),
                ("bottom clearance", settings.bottom_clearance_nm),
            ),
            source=f"{_GEOMETRY}; section: {profile.source}",
        ),
        one_pass=one_pass,
        at_or_under=tuple(
            Bit(
                size_nm=bit_nm,
                passes=ceil_div(width_nm, bit_nm),
                clearance_each_side_nm=settings.running_clearance_nm,
            )
            for bit_nm in reversed(bits)
            if bit_nm <= width_nm
        ),
        margin=Margin(
            least_thickness=Calculation(
                what="least leaf thickness for the groove",
                length_nm=cut_nm + 2 * settings.shoulder_nm,
                formula="groove + 2 × shoulder",
                inputs_nm=(("groove", cut_nm), ("shoulder", settings.shoulder_nm)),
                source="common practice, no source",
            ),
            left=Calculation(
                what="shoulder left on each side of the groove",
                length_nm=(thickness_nm - cut_nm) // 2,
                formula="(leaf thickness − groove) ÷ 2",
                inputs_nm=(("leaf thickness", thickness_nm), ("groove", cut_nm)),
                source=_GEOMETRY,
            ),
            enough=thickness_nm >= cut_nm + 2 * settings.shoulder_nm,
        ),
    )


def _fit_rabbet(nested: NestedEnvelope, thickness_nm: int, settings: FitSettings) -> RabbetFit:
    clearance = ("rabbet clearance", settings.rabbet_clearance_nm)
    source = "measured envelope of the nested members; clearance common practice, no source"
    width_nm = nested.width_nm + settings.rabbet_clearance_nm
    return RabbetFit(
        width=Calculation(
            what="rabbet width, across the leaf's thickness",
            length_nm=width_nm,
            formula="width of the nested members + rabbet clearance",
            inputs_nm=(("width of the nested members", nested.width_nm), clearance),
            source=source,
        ),
        depth=Calculation(
            what="rabbet depth, into the leaf's edge",
            length_nm=nested.depth_nm + settings.rabbet_clearance_nm,
            formula="depth of the nested members + rabbet clearance",
            inputs_nm=(("depth of the nested members", nested.depth_nm), clearance),
            source=source,
        ),
        margin=Margin(
            least_thickness=Calculation(
                what="least leaf thickness for the rabbet",
                length_nm=width_nm + settings.shoulder_nm,
                formula="rabbet width + shoulder",
                inputs_nm=(("rabbet width", width_nm), ("shoulder", settings.shoulder_nm)),
                source="common practice, no source",
            ),
            left=Calculation(
                what="wood left behind the rabbet",
                length_nm=thickness_nm - width_nm,
                formula="leaf thickness − rabbet width",
                inputs_nm=(("leaf thickness", thickness_nm), ("rabbet width", width_nm)),
                source=_GEOMETRY,
            ),
            enough=thickness_nm >= width_nm + settings.shoulder_nm,
        ),
    )
