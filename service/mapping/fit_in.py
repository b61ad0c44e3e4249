"""From the inputs of a fit on the wire to those of the library."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from optimiser.fit import (
    FitInputs,
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
    known_metals,
    known_woods,
)
from optimiser.units.lengths import LengthUnit, parse_length
from service.mapping.faults import FaultGatherer, Path
from service.wire import fit as wire
from service.wire.scalars import NumberOrText


class FitReader:
    """Reads the inputs of one fit, whose members stand under `root`."""

    def __init__(self, unit: LengthUnit, root: Path, gatherer: FaultGatherer) -> None:
        self._unit, self._root, self._gatherer = unit, root, gatherer

    def read(self, stated: wire.FitMembers) -> FitInputs:
        """Return the inputs; what cannot be read is kept by the gatherer."""
        nested = stated.nested
        return FitInputs(
            profile=self.read_profile(stated.profile, "profile"),
            leaf_thickness_nm=self._length(stated.leaf_thickness, "leaf_thickness"),
            settings=self._read_settings(stated.settings),
            nested=None
            if nested is None
            else NestedEnvelope(
                width_nm=self._length(nested.width, "nested", "width"),
                depth_nm=self._length(nested.depth, "nested", "depth"),
            ),
            heat=None if stated.heat is None else self._read_heat(stated.heat),
            moisture=None if stated.moisture is None else self._read_moisture(stated.moisture),
        )

    def read_strip_length(self, heat: wire.StripInHeat | None) -> int | None:
        """Return the length of strip that is stated; `None` where none is."""
        if heat is None or heat.length is None:
            return None
        return self._length(heat.length, "heat", "length")

    def _length(self, value: NumberOrText, *place: str | int) -> int:
        return self._gatherer.read((*self._root, *place), 1, parse_length, value, self._unit)

    def _optional(self, value: NumberOrText | None, *place: str) -> int | None:
        return None if value is None else self._length(value, *place)

    def read_profile(self, stated: wire.Profile, member: str) -> Profile:
        """Return a profile that stands under a member; what cannot be read is kept."""
        published = None
        if stated.published is not None:
            at = (member, "published")
            published = PublishedFigures(
                groove_width_nm=self._optional(stated.published.groove_width, *at, "groove_width"),
                groove_depth_nm=self._optional(stated.published.groove_depth, *at, "groove_depth"),
                rabbet_width_nm=self._optional(stated.published.rabbet_width, *at, "rabbet_width"),
                rabbet_depth_nm=self._optional(stated.published.rabbet_depth, *at, "rabbet_depth"),
                leaf_thickness_nm=self._optional(
                    stated.published.leaf_thickness, *at, "leaf_thickness"
                ),
                source=stated.published.source,
            )
        return Profile(
            metal_nm=self._length(stated.metal, member, "metal"),
            flange_width_nm=self._length(stated.flange_width, member, "flange_width"),
            height_nm=self._length(stated.height, member, "height"),
            rib_nm=self._length(stated.rib, member, "rib"),
            height_includes_flange=stated.height_includes_flange,
            source=stated.source,
            published=published,
        )

    def _read_settings(self, stated: wire.FitSettings) -> FitSettings:
        return FitSettings(
            running_clearance_nm=self._length(
                stated.running_clearance, "settings", "running_clearance"
            ),
            bottom_clearance_nm=self._length(
                stated.bottom_clearance, "settings", "bottom_clearance"
            ),
            hinge_gap_nm=self._length(stated.hinge_gap, "settings", "hinge_gap"),
            shoulder_nm=self._length(stated.shoulder, "settings", "shoulder"),
            rabbet_clearance_nm=self._length(
                stated.rabbet_clearance, "settings", "rabbet_clearance"
            ),
            bits_nm=tuple(
                self._length(bit, "settings", "bits", position)
                for position, bit in enumerate(stated.bits)
            ),
        )

    def _read_heat(self, stated: wire.StripInHeat) -> StripInHeat:
        return StripInHeat(
            metal=self._find_metal(stated),
            coldest=_number(stated.coldest),
            warmest=_number(stated.warmest),
            unit=stated.degrees,
            end_clearance_nm=self._length(stated.end_clearance, "heat", "end_clearance"),
        )

    def _read_moisture(self, stated: wire.LeafInMoisture) -> LeafInMoisture:
        return LeafInMoisture(
            wood=self._find_wood(stated),
            sawn=stated.sawn,
            board_width_nm=self._length(stated.board_width, "moisture", "board_width"),
            boards=stated.boards,
            driest=_number(stated.driest),
            wettest=_number(stated.wettest),
            strike_gap_nm=self._length(stated.strike_gap, "moisture", "strike_gap"),
            height_nm=self._optional(stated.height, "moisture", "height"),
            head_gap_nm=self._optional(stated.head_gap, "moisture", "head_gap"),
        )

    def _find_metal(self, stated: wire.StripInHeat) -> Metal:
        if stated.coefficient is not None:
            per_degree = _number(stated.coefficient.value) / 10**6
            celsius = stated.degrees is TemperatureUnit.CELSIUS
            per_f = per_degree * Fraction(5, 9) if celsius else per_degree
            return Metal(
                id=stated.metal,
                low_per_f=per_f,
                high_per_f=per_f,
                source=stated.coefficient.source,
            )
        known = {metal.id: metal for metal in known_metals()}
        if stated.metal not in known:
            self._not_known("heat", "metal", stated.metal, known)
        return known.get(stated.metal, known_metals()[0])

    def _find_wood(self, stated: wire.LeafInMoisture) -> Wood:
        if stated.coefficient is not None:
            value = _number(stated.coefficient.value)
            return Wood(
                id=stated.wood,
                tangential=value,
                radial=value if stated.sawn is Sawn.QUARTER else None,
                source=stated.coefficient.source,
            )
        known = {wood.id: wood for wood in known_woods()}
        if stated.wood not in known:
            self._not_known("moisture", "wood", stated.wood, known)
        return known.get(stated.wood, known_woods()[0])

    def _not_known(self, member: str, what: str, name: str, known: Iterable[str]) -> None:
        self._gatherer.add(
            (*self._root, member, what),
            f"unknown-{what}",
            f"there is no {what} {name!r}; take one of {', '.join(known)}, or state a "
            "coefficient of your own with its source.",
        )


def _number(value: NumberOrText) -> Fraction:
    return Fraction(Decimal(value))
