"""Groove and rabbet of a leaf: their sizes, the bits that cut them, what is left of the leaf."""

from optimiser.domain.faults import Fault
from optimiser.domain.fit import Bit, Calculation, GrooveFit, Margin, Preparation
from optimiser.fit.faults import refuse
from optimiser.fit.profile import (
    FitSettings,
    NestedEnvelope,
    Profile,
    find_profile_faults,
    find_settings_faults,
    put_published_first,
)
from optimiser.fit.rabbet import fit_rabbet
from optimiser.units.counts import ceil_div
from optimiser.units.lengths import LengthUnit, format_length

_GEOMETRY = "geometry of the section; clearances common practice, no source"

LOOSEST = 2
"""How many running clearances one pass may leave on each side. Common practice, no source.

A published width is cut as it is published.
"""

STEPS: tuple[tuple[str, str], ...] = (
    (
        "Cut groove and rabbet in scrap of the leaf's thickness and try them on the strip.",
        "common practice, no source",
    ),
    (
        "Take the leaf off, lay it flat, and cut the rabbets along every edge where members nest, "
        "with a rabbet bit.",
        "common practice, no source",
    ),
    (
        "Cut the groove in the hinged edge of the leaf with a slot cutter.",
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

    What the maker publishes goes before what is worked out. `unit` is that of the faults' wording.

    Raises:
        FitRejected: a size is impossible; every fault is named.
    """
    faults = [*find_profile_faults(profile, unit), *find_settings_faults(settings, unit)]
    sizes: dict[tuple[str, ...], int] = {("leaf_thickness",): leaf_thickness_nm}
    if nested is not None:
        sizes |= {("nested", "width"): nested.width_nm, ("nested", "depth"): nested.depth_nm}
    faults += [
        Fault(
            path,
            "length-not-positive",
            f"The {' '.join(path).replace('_', ' ')} is {format_length(length_nm, unit)}; give "
            "more than 0.",
        )
        for path, length_nm in sizes.items()
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
    rabbet = fit_rabbet(profile, nested, leaf_thickness_nm, settings)
    return Preparation(groove=groove, rabbet=rabbet, steps=STEPS)


def _fit_groove(profile: Profile, thickness_nm: int, settings: FitSettings) -> GrooveFit:
    width = put_published_first(
        Calculation(
            what="least groove width",
            length_nm=profile.rib_nm + 2 * settings.running_clearance_nm,
            formula="rib thickness + 2 × running clearance",
            inputs_nm=(
                ("rib thickness", profile.rib_nm),
                ("running clearance", settings.running_clearance_nm),
            ),
            source=f"{_GEOMETRY}; section: {profile.source}",
        ),
        profile.published,
        "groove_width",
    )
    width_nm = width.length_nm
    clearance_nm = (width_nm - profile.rib_nm) // 2
    bits = sorted(set(settings.bits_nm))
    widest_nm = width_nm
    if not width.published_by:
        widest_nm = profile.rib_nm + 2 * LOOSEST * settings.running_clearance_nm
    wide = [bit_nm for bit_nm in bits if width_nm <= bit_nm <= widest_nm]
    one_pass = (
        Bit(size_nm=wide[0], passes=1, clearance_each_side_nm=(wide[0] - profile.rib_nm) // 2)
        if wide
        else None
    )
    cut_nm = one_pass.size_nm if one_pass else width_nm
    least = put_published_first(
        Calculation(
            what="least leaf thickness for the groove",
            length_nm=cut_nm + 2 * settings.shoulder_nm,
            formula="groove + 2 × shoulder",
            inputs_nm=(("groove", cut_nm), ("shoulder", settings.shoulder_nm)),
            source="common practice, no source",
        ),
        profile.published,
        "leaf_thickness",
    )
    return GrooveFit(
        width=width,
        depth=put_published_first(
            _work_out_depth(profile, settings), profile.published, "groove_depth"
        ),
        one_pass=one_pass,
        at_or_under=tuple(
            Bit(
                size_nm=bit_nm,
                passes=ceil_div(width_nm, bit_nm),
                clearance_each_side_nm=clearance_nm,
            )
            for bit_nm in reversed(bits)
            if bit_nm <= width_nm
        ),
        margin=Margin(
            least_thickness=least,
            left=Calculation(
                what="shoulder left on each side of the groove",
                length_nm=(thickness_nm - cut_nm) // 2,
                formula="(leaf thickness − groove) ÷ 2",
                inputs_nm=(("leaf thickness", thickness_nm), ("groove", cut_nm)),
                source=_GEOMETRY,
            ),
            enough=thickness_nm >= least.length_nm,
        ),
    )


def _work_out_depth(profile: Profile, settings: FitSettings) -> Calculation:
    return Calculation(
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
    )
