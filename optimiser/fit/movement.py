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


ALONG_THE_GRAIN = Fraction("0.2")
SHRINKING_STARTS_AT = Fraction(30)
"""What wood shrinks along its grain from green to ovendry, in per cent of its length, and the
moisture at which shrinking starts. USDA FPL-GTR-190, ch. 4: 0.1 to 0.2 % for most species; the
higher is taken, spread evenly over the moisture."""


class TemperatureUnit(StrEnum):
    """The unit of temperatures."""

    FAHRENHEIT = "°F"
    CELSIUS = "°C"


class Sawn(StrEnum):
    """How a board was sawn: across its face a flat-sawn one moves tangentially."""

    FLAT = "flat-sawn"
    QUARTER = "quarter-sawn"


def expand_strip(
    length_nm: int,
    metal: Metal,
    *,
    coldest: Fraction,
    warmest: Fraction,
    unit: TemperatureUnit,
) -> Calculation:
    """Return how much longer a strip is at its warmest than at its coldest, rounded up.

    ΔL = L × α × (T₂ − T₁). The higher coefficient is taken where the source gives a range.

    Raises:
        FitRejected: the length is not above zero, or the warmest not above the coldest.
    """
    faults = []
    if length_nm <= 0:
        faults.append(
            Fault(
                ("heat", "length"),
                "length-not-positive",
                "The length of the strip is not above 0; give more than 0.",
            )
        )
    if warmest <= coldest:
        faults.append(
            Fault(
                ("heat", "warmest"),
                "no-range",
                f"The warmest, {_plain(warmest)} {unit}, is not above the coldest, "
                f"{_plain(coldest)} {unit}; give a range.",
            )
        )
    refuse(faults)
    each_degree = metal.high_per_f * (Fraction(9, 5) if unit is TemperatureUnit.CELSIUS else 1)
    return Calculation(
        what=f"growth of {metal.id} strip with heat",
        length_nm=ceil(length_nm * each_degree * (warmest - coldest)),
        formula="length × coefficient × (warmest − coldest)",
        inputs_nm=(("length", length_nm),),
        numbers=(
            Number(name="coefficient", value=each_degree, unit=f"per {unit}"),
            Number(name="warmest", value=warmest, unit=unit),
            Number(name="coldest", value=coldest, unit=unit),
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
        faults.append(
            Fault(
                ("moisture", "board_width"),
                "length-not-positive",
                "The width of the boards, or their number, is not above 0; give more than 0.",
            )
        )
    faults += _find_moisture_faults(driest, wettest)
    if coefficient is None:
        faults.append(
            Fault(
                ("moisture", "sawn"),
                "coefficient-not-known",
                f"The coefficient of {sawn} {wood.id} is not known; take {Sawn.FLAT}, which moves "
                "more.",
            )
        )
    refuse(faults)
    assert coefficient is not None
    return Calculation(
        what=f"growth of {sawn} {wood.id.replace('-', ' ')} with moisture",
        length_nm=ceil(boards * size_nm * coefficient * (wettest - driest)),
        formula="boards × width × coefficient × (wettest − driest)",
        inputs_nm=(("width", size_nm),),
        numbers=(
            Number(name="boards", value=Fraction(boards), unit=""),
            Number(name="coefficient", value=coefficient, unit="per %"),
            Number(name="wettest", value=wettest, unit="%"),
            Number(name="driest", value=driest, unit="%"),
        ),
        source=wood.source,
    )


def lengthen_wood(length_nm: int, *, driest: Fraction, wettest: Fraction) -> Calculation:
    """Return how much longer wood gets along its grain from its driest to its wettest.

    ΔL = L × S ÷ 100 × (M₂ − M₁) ÷ 30, with the shrinkage S and moisture in per cent; rounded up
    to a whole nanometre.

    Raises:
        FitRejected: the length is not above zero, or moisture is outside 6 to 14 per cent.
    """
    faults = _find_moisture_faults(driest, wettest)
    if length_nm <= 0:
        faults.append(
            Fault(
                ("moisture", "height"),
                "length-not-positive",
                "The height of the leaf is not above 0; give more than 0.",
            )
        )
    refuse(faults)
    share = ALONG_THE_GRAIN / 100 * (wettest - driest) / SHRINKING_STARTS_AT
    return Calculation(
        what="growth of the leaf's height with moisture, along the grain",
        length_nm=ceil(length_nm * share),
        formula="height × shrinkage × (wettest − driest) ÷ moisture at which shrinking starts",
        inputs_nm=(("height", length_nm),),
        numbers=(
            Number(name="shrinkage", value=ALONG_THE_GRAIN, unit="%"),
            Number(name="wettest", value=wettest, unit="%"),
            Number(name="driest", value=driest, unit="%"),
            Number(name="moisture at which shrinking starts", value=SHRINKING_STARTS_AT, unit="%"),
        ),
        source="USDA Wood Handbook, FPL-GTR-190, chapter 4: 0.1 to 0.2 % for most species, here "
        "the higher, spread evenly",
    )


def _find_moisture_faults(driest: Fraction, wettest: Fraction) -> list[Fault]:
    if LEAST_MOISTURE <= driest <= wettest <= MOST_MOISTURE:
        return []
    return [
        Fault(
            ("moisture",),
            "moisture-out-of-range",
            f"Moisture from {_plain(driest)} to {_plain(wettest)} % is not a rise between "
            f"{LEAST_MOISTURE} and {MOST_MOISTURE} %, where the coefficients hold; give one.",
        )
    ]


def check_clearance(what: str, clearance_nm: int, *movements: Calculation) -> ClearanceCheck:
    """Return whether a clearance holds all movements together, and what is left of it."""
    needed_nm = sum(movement.length_nm for movement in movements)
    return ClearanceCheck(
        what=what,
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
