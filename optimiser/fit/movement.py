"""Movement of strip with heat and of wood with moisture, and whether a clearance holds it."""

from enum import StrEnum
from fractions import Fraction
from math import ceil

from optimiser.domain.faults import Fault
from optimiser.domain.fit import Calculation, ClearanceCheck, Number
from optimiser.fit.coefficients import Metal, Wood
from optimiser.fit.faults import refuse

LEAST_MOISTURE, MOST_MOISTURE = 6, 14
"""The moisture, in per cent, between which the coefficients hold: USDA FPL-GTR-190, ch. 13."""


class TemperatureUnit(StrEnum):
    """The unit of a difference of temperatures."""

    FAHRENHEIT = "°F"
    CELSIUS = "°C"


class Sawn(StrEnum):
    """How a board was sawn: across its face a flat-sawn one moves tangentially."""

    FLAT = "flat-sawn"
    QUARTER = "quarter-sawn"


def expand_strip(
    length_nm: int, metal: Metal, degrees: Fraction, unit: TemperatureUnit
) -> Calculation:
    """Return how much longer a strip is over a range of temperature, rounded up.

    The higher coefficient is taken where the source gives a range.

    Raises:
        FitRejected: the length or the range is not above zero.
    """
    refuse(
        [
            Fault((name,), "not-positive", f"The {name} is not above 0; give more than 0.")
            for name, value in (("length", length_nm), ("range of temperature", degrees))
            if value <= 0
        ]
    )
    in_f = degrees * Fraction(9, 5) if unit is TemperatureUnit.CELSIUS else degrees
    return Calculation(
        what=f"growth of {metal.id} strip with heat",
        length_nm=ceil(length_nm * metal.high_per_f * in_f),
        formula="length × coefficient × range of temperature",
        inputs_nm=(("length", length_nm),),
        numbers=(
            Number(name="coefficient", value=metal.high_per_f, unit="per °F"),
            Number(name="range of temperature", value=in_f, unit="°F"),
        ),
        source=metal.source,
    )


def swell_wood(
    size_nm: int, wood: Wood, sawn: Sawn, *, driest: Fraction, wettest: Fraction, boards: int = 1
) -> Calculation:
    """Return how much wider wood gets across its grain from its driest to its wettest.

    ΔD = D × C × (M₂ − M₁), for each of `boards` boards of `size_nm`, with moisture in per
    cent; rounded up to a whole nanometre.

    Raises:
        FitRejected: a size is not above zero, or moisture is outside 6 to 14 per cent, where
            the coefficients hold, or the coefficient is not known.
    """
    coefficient = wood.tangential if sawn is Sawn.FLAT else wood.radial
    faults = []
    if size_nm <= 0 or boards < 1:
        faults.append(Fault(("size",), "not-positive", "The size is not above 0; mend it."))
    if not LEAST_MOISTURE <= driest <= wettest <= MOST_MOISTURE:
        faults.append(
            Fault(
                ("moisture",),
                "moisture-out-of-range",
                f"Moisture from {_plain(driest)} to {_plain(wettest)} % is not a rise between "
                f"{LEAST_MOISTURE} and {MOST_MOISTURE} %, where the coefficients hold; give one.",
            )
        )
    if coefficient is None:
        faults.append(
            Fault(
                ("wood",),
                "coefficient-not-known",
                f"The coefficient of {sawn} {wood.id} is not known; take {Sawn.FLAT}, which moves "
                "more.",
            )
        )
    refuse(faults)
    assert coefficient is not None
    return Calculation(
        what=f"growth of {sawn} {wood.id} with moisture",
        length_nm=ceil(boards * size_nm * coefficient * (wettest - driest)),
        formula="boards × width × coefficient × rise of moisture",
        inputs_nm=(("width", size_nm),),
        numbers=(
            Number(name="boards", value=Fraction(boards), unit=""),
            Number(name="coefficient", value=coefficient, unit="per %"),
            Number(name="rise of moisture", value=wettest - driest, unit="%"),
        ),
        source=wood.source,
    )


def check_clearance(clearance_nm: int, *movements: Calculation) -> ClearanceCheck:
    """Return whether a clearance holds all movements together, and what is left of it."""
    needed_nm = sum(movement.length_nm for movement in movements)
    return ClearanceCheck(
        clearance_nm=clearance_nm,
        movements=movements,
        needed=Calculation(
            what="clearance needed",
            length_nm=needed_nm,
            formula=" + ".join(movement.what for movement in movements) or "nothing moves",
            inputs_nm=tuple((movement.what, movement.length_nm) for movement in movements),
            source="sum of the movements; worst case, all at once",
        ),
        left_nm=clearance_nm - needed_nm,
    )


def _plain(value: Fraction) -> str:
    return str(value) if value.denominator == 1 else f"{float(value):g}"
