"""The rabbet at strike and head, in which the nested members close flush."""

from optimiser.domain.fit import Calculation, Margin, RabbetFit
from optimiser.fit.profile import FitSettings, NestedEnvelope, Profile, put_published_first

_MEASURED = "measured envelope of the nested members; clearance common practice, no source"
_NOT_MEASURED = "the nested members were not measured"


def fit_rabbet(
    profile: Profile, nested: NestedEnvelope | None, thickness_nm: int, settings: FitSettings
) -> RabbetFit | None:
    """Return the rabbet for nested members; `None` where neither they nor the maker size it.

    The envelope is measured: it does not follow from the section of one member.
    """
    width = _size(
        profile,
        None if nested is None else nested.width_nm,
        settings,
        ("rabbet_width", "rabbet width, across the leaf's thickness", "width"),
    )
    depth = _size(
        profile,
        None if nested is None else nested.depth_nm,
        settings,
        ("rabbet_depth", "rabbet depth, into the leaf's edge", "depth"),
    )
    if width is None or depth is None:
        return None
    width_nm = width.length_nm
    return RabbetFit(
        width=width,
        depth=depth,
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
                source="geometry of the leaf",
            ),
            enough=thickness_nm >= width_nm + settings.shoulder_nm,
        ),
    )


def _size(
    profile: Profile,
    envelope_nm: int | None,
    settings: FitSettings,
    names: tuple[str, str, str],
) -> Calculation | None:
    figure, what, side = names
    clearance = ("rabbet clearance", settings.rabbet_clearance_nm)
    if envelope_nm is not None:
        worked_out = Calculation(
            what=what,
            length_nm=envelope_nm + settings.rabbet_clearance_nm,
            formula=f"{side} of the nested members + rabbet clearance",
            inputs_nm=((f"{side} of the nested members", envelope_nm), clearance),
            source=_MEASURED,
        )
        return put_published_first(worked_out, profile.published, figure)
    published = profile.published
    length_nm = None if published is None else getattr(published, f"{figure}_nm")
    if published is None or length_nm is None:
        return None
    return Calculation(
        what=what,
        length_nm=length_nm,
        formula="as published",
        inputs_nm=(),
        source=_NOT_MEASURED,
        published_by=published.source,
    )
