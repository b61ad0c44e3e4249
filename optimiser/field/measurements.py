"""Which lengths to take on an opening before its pieces are cut. Common practice, no source."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from optimiser.domain.field import Measurement, MeasurementSheet
from optimiser.domain.fit import Calculation
from optimiser.domain.opening import Opening, OpeningKind, SashCords, Threshold

WIDTHS = ("width-top", "width-middle", "width-bottom")
HEIGHTS = ("height-left", "height-middle", "height-right")
DIAGONALS = ("diagonal-rising", "diagonal-falling")

_DOORS = {OpeningKind.SINGLE_DOOR, OpeningKind.PAIR_OF_DOORS, OpeningKind.DUTCH_DOOR}


def list_measurements(
    opening: Opening, sizes: Mapping[str, Calculation] | None = None
) -> MeasurementSheet:
    """Return the measurements to take on one mark: frame, leaf, gaps, and what the kind needs.

    Left and right are as seen from the side on which the work is done. `sizes` are the net sizes
    that the order gives, named as the takeoff names them.
    """
    known = sizes or {}
    return MeasurementSheet(
        opening=opening,
        measurements=tuple(
            replace(
                measurement,
                expected=known.get(measurement.id) or known.get(_size_of(measurement.id)),
            )
            for measurement in _list(opening)
        ),
    )


def _size_of(measurement: str) -> str:
    """Return the name of the size that a measurement is held against."""
    return _SIZES.get(measurement, measurement)


_SIZES = {
    **dict.fromkeys(WIDTHS, "opening-width"),
    **dict.fromkeys(HEIGHTS, "opening-height"),
    **dict.fromkeys(DIAGONALS, "opening-diagonal"),
    **{
        f"{leaf}-leaf-{side}": f"leaf-{side}"
        for leaf in ("active", "inactive")
        for side in ("width", "height")
    },
    **{f"{place}-leaf-width": "leaf-width" for place in ("upper", "lower")},
    **{f"{place}-sash-width": "sash-width" for place in ("upper", "lower")},
}
"""What a measurement is held against where that has another name than the measurement."""


def _list(opening: Opening) -> Iterator[Measurement]:
    for name, place in zip(WIDTHS, ("top", "middle", "bottom"), strict=True):
        yield Measurement(
            id=name, what=f"width of the frame's opening, {place}", how="between the jambs, level"
        )
    for name, place in zip(HEIGHTS, ("left", "middle", "right"), strict=True):
        yield Measurement(
            id=name,
            what=f"height of the frame's opening, {place}",
            how="from the head to the sill or the finished floor, plumb",
        )
    for name, corners in zip(
        DIAGONALS, ("bottom left to top right", "top left to bottom right"), strict=True
    ):
        yield Measurement(
            id=name, what=f"diagonal of the frame's opening, {corners}", how="corner to corner"
        )
    if opening.kind is OpeningKind.FIXED_WINDOW:
        return
    if opening.kind is OpeningKind.DOUBLE_HUNG_WINDOW:
        yield from _list_sashes(opening)
        return
    yield from _list_leaves(opening)


def _list_leaves(opening: Opening) -> Iterator[Measurement]:
    leaves = {
        OpeningKind.PAIR_OF_DOORS: ("active-leaf", "inactive-leaf"),
        OpeningKind.DUTCH_DOOR: ("upper-leaf", "lower-leaf"),
    }.get(opening.kind, ("leaf",))
    for leaf in leaves:
        name = leaf.replace("-", " ")
        yield Measurement(id=f"{leaf}-width", what=f"width of the {name}", how="at mid-height")
        yield Measurement(id=f"{leaf}-height", what=f"height of the {name}", how="at mid-width")
    yield Measurement(
        id="leaf-thickness", what="thickness of the leaf", how="at the hinge stile, bare of paint"
    )
    gaps = {
        OpeningKind.PAIR_OF_DOORS: ("hinge", "head", "sill", "meeting"),
        OpeningKind.DUTCH_DOOR: ("hinge", "strike", "head", "sill", "meeting"),
        OpeningKind.HOPPER_WINDOW: ("jamb", "head", "sill"),
        OpeningKind.AWNING_WINDOW: ("jamb", "head", "sill"),
    }.get(opening.kind, ("hinge", "strike", "head", "sill"))
    for gap in gaps:
        place = gap
        if gap == "meeting":
            pair = opening.kind is OpeningKind.PAIR_OF_DOORS
            place = "meeting stiles" if pair else "meeting rail"
        yield Measurement(
            id=f"{gap}-gap", what=f"gap at the {place}", how="leaf closed, the least along the edge"
        )
    if opening.kind in _DOORS:
        yield Measurement(
            id="keeper-height",
            what="underside of the keeper above the sill",
            how="on the jamb, or on the inactive leaf",
        )
        yield Measurement(id="keeper-length", what="height of the keeper", how="top to bottom")
    if opening.kind in _DOORS and opening.threshold is not Threshold.NONE:
        yield Measurement(
            id="sill-width", what="width of the sill between the jambs' outer faces", how="level"
        )
        yield Measurement(
            id="jamb-notch",
            what="depth of the notch round the stop",
            how="at both jambs, the least",
        )


def _list_sashes(opening: Opening) -> Iterator[Measurement]:
    for sash in ("upper", "lower"):
        yield Measurement(
            id=f"{sash}-sash-width", what=f"width of the {sash} sash", how="at mid-height"
        )
        yield Measurement(
            id=f"{sash}-sash-height", what=f"height of the {sash} sash", how="at mid-width"
        )
    yield Measurement(
        id="sash-thickness", what="thickness of the sashes", how="at a stile, bare of paint"
    )
    yield Measurement(
        id="side-play", what="play of the sashes between the jambs", how="both sides together"
    )
    if opening.sash_cords is SashCords.OVER_PULLEYS:
        yield Measurement(
            id="pulley-gap",
            what="underside of the pulley below the head",
            how="with room for the cord; at both jambs, the greatest",
        )
