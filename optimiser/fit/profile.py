"""The section of a profile and the settings of its fit, as the user states them."""

from dataclasses import dataclass, fields, replace

from optimiser.domain.faults import Fault
from optimiser.domain.fit import Calculation
from optimiser.units.lengths import NM_PER_INCH, LengthUnit, format_length

USUAL_BITS_NM = tuple(NM_PER_INCH * parts // 32 for parts in (2, 3, 4, 5, 6, 8, 12, 16))
"""Bits from 1/16 to 1/2 in, as they are commonly sold. Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedFigures:
    """Cuts that the maker of a profile publishes, in nanometres; `None` where it says nothing.

    They win over what is worked out from the section. `source` says where they stand.
    """

    groove_width_nm: int | None = None
    groove_depth_nm: int | None = None
    rabbet_width_nm: int | None = None
    rabbet_depth_nm: int | None = None
    leaf_thickness_nm: int | None = None
    """The least thickness of a leaf that the profile is made for."""
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The published section of an interlocking strip, in nanometres.

    `height_nm` is the overall height, with the flange's metal in it or, where
    `height_includes_flange` is false, above the flange. `source` says who published it.
    """

    metal_nm: int
    flange_width_nm: int
    height_nm: int
    rib_nm: int
    height_includes_flange: bool = True
    source: str
    published: PublishedFigures | None = None

    @property
    def projection_nm(self) -> int:
        """Return how far the rib stands above the flange: height less metal."""
        return self.height_nm - (self.metal_nm if self.height_includes_flange else 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FitSettings:
    """What the user allows for, in nanometres. Common practice, no source.

    `running_clearance_nm` is left on each side of the rib, `bottom_clearance_nm` below it.
    `hinge_gap_nm` is the gap between leaf and hinge jamb. `shoulder_nm` is the least wood on
    each side of a groove and behind a rabbet. `rabbet_clearance_nm` is added to the measured
    envelope of the nested members.
    """

    running_clearance_nm: int = NM_PER_INCH * 12 // 1000
    bottom_clearance_nm: int = NM_PER_INCH // 16
    hinge_gap_nm: int = NM_PER_INCH // 8
    shoulder_nm: int = NM_PER_INCH * 3 // 8
    rabbet_clearance_nm: int = NM_PER_INCH // 32
    bits_nm: tuple[int, ...] = USUAL_BITS_NM


@dataclass(frozen=True, slots=True, kw_only=True)
class NestedEnvelope:
    """The space that two nested members take, measured: `width_nm` across the leaf's thickness."""

    width_nm: int
    depth_nm: int


def put_published_first(
    worked_out: Calculation, published: PublishedFigures | None, name: str
) -> Calculation:
    """Return a calculation with the maker's figure in its place, where the maker states one."""
    length_nm = None if published is None else getattr(published, f"{name}_nm")
    if published is None or length_nm is None:
        return worked_out
    return replace(
        worked_out,
        length_nm=length_nm,
        published_by=published.source,
        worked_out_nm=worked_out.length_nm,
    )


def find_profile_faults(profile: Profile, unit: LengthUnit) -> list[Fault]:
    """Return what is wrong with a section."""
    faults = _below(profile, ("profile",), unit, least=1)
    if profile.published is not None:
        faults += _below(profile.published, ("profile", "published"), unit, least=1)
    if faults:
        return faults
    width_nm = profile.published and profile.published.groove_width_nm
    if width_nm and width_nm <= profile.rib_nm:
        faults.append(
            Fault(
                ("profile", "published", "groove_width"),
                "groove-under-rib",
                f"The published groove width is {format_length(width_nm, unit)}, not more than the "
                f"rib, {format_length(profile.rib_nm, unit)}; correct one of them.",
            )
        )
    for name, part_nm, whole, whole_nm in (
        ("metal", profile.metal_nm, "height", profile.height_nm),
        ("metal", profile.metal_nm, "rib", profile.rib_nm),
        ("rib", profile.rib_nm, "flange_width", profile.flange_width_nm),
    ):
        if part_nm >= whole_nm:
            faults.append(
                Fault(
                    ("profile", name),
                    "section-impossible",
                    f"The profile's {name} is {format_length(part_nm, unit)}, not less than its "
                    f"{whole.replace('_', ' ')}, {format_length(whole_nm, unit)}; correct the "
                    "section.",
                )
            )
    return faults


def find_settings_faults(settings: FitSettings, unit: LengthUnit) -> list[Fault]:
    """Return what is wrong with the settings of a fit."""
    faults = _below(settings, ("settings",), unit, least=0)
    if any(bit_nm <= 0 for bit_nm in settings.bits_nm):
        faults.append(
            Fault(
                ("settings", "bits"), "length-not-positive", "A bit's size is not above 0; mend it."
            )
        )
    return faults


def _below(stated: object, path: tuple[str, ...], unit: LengthUnit, least: int) -> list[Fault]:
    faults = []
    for field in fields(stated):  # type: ignore[arg-type]
        length_nm = getattr(stated, field.name)
        if field.name.endswith("_nm") and isinstance(length_nm, int) and length_nm < least:
            name = field.name.removesuffix("_nm")
            faults.append(
                Fault(
                    (*path, name),
                    "length-not-positive" if least else "length-negative",
                    f"The {name.replace('_', ' ')} is {format_length(length_nm, unit)}; give "
                    f"{'more than 0' if least else '0 or more'}.",
                )
            )
    return faults
