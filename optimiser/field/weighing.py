"""Count per pack from weighed samples, exactly."""

from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from math import ceil

from optimiser.domain.catalogue import PackContents
from optimiser.domain.faults import Fault, InvalidOrder
from optimiser.domain.field import CalibratedPack, WeighedSample

FORMULA = (
    "count per pack = mass of the pack × counted ÷ weighed, over all samples together; each "
    "sample's own count lies between those for half a step of the scale more and less; tolerance "
    "= (count per pack − the lowest of them) ÷ count per pack, rounded up to 0.1 %"
)


def calibrate_pack(
    samples: Sequence[WeighedSample],
    pack_grams: Fraction,
    *,
    scale_step_grams: Fraction = Fraction(0),
) -> CalibratedPack:
    """Return what a pack holds, from samples that were weighed and counted.

    The masses are those of the fasteners alone, read off a scale that shows steps of
    `scale_step_grams`. One sample shows no spread but the scale's; several samples of fifty or
    more are worth weighing.

    Raises:
        InvalidOrder: no samples, or a mass or a count that is not above zero, or a sample that
            half a step of the scale outweighs; all are named.

    Source: proportion of mass and count; spread common practice, no source.
    """
    half_step = scale_step_grams / 2
    faults = []
    if not samples:
        faults.append(
            Fault(("samples",), "no-samples", "There are no samples; weigh and count at least one.")
        )
    for position, sample in enumerate(samples):
        if sample.grams <= 0 or sample.count < 1:
            faults.append(
                Fault(
                    ("samples", position),
                    "sample-not-positive",
                    f"The sample at position {position} (counted from 0) states {sample.count} "
                    "fasteners in a mass that must be above 0 with them; give both above 0.",
                )
            )
        elif sample.grams <= half_step:
            faults.append(
                Fault(
                    ("samples", position),
                    "sample-under-scale-step",
                    f"The sample at position {position} (counted from 0) weighs no more than half "
                    "a step of the scale; weigh more fasteners.",
                )
            )
    if pack_grams <= 0:
        faults.append(
            Fault(("pack",), "mass-not-positive", "The mass of a pack is not above 0; mend it.")
        )
    if faults:
        raise InvalidOrder(tuple(faults))
    counted = sum(sample.count for sample in samples)
    weighed = sum((Fraction(sample.grams) for sample in samples), Fraction(0))
    nominal = Fraction(pack_grams) * counted / weighed
    lowest, highest = (
        chosen(
            Fraction(pack_grams) * sample.count / (Fraction(sample.grams) + side * half_step)
            for sample in samples
        )
        for chosen, side in ((min, 1), (max, -1))
    )
    return CalibratedPack(
        counted=counted,
        weighed_grams=weighed,
        pack_grams=Fraction(pack_grams),
        contents=PackContents(
            nominal=nominal,
            tolerance_percent=_round_up((nominal - lowest) / nominal * 100),
            basis=f"{counted:,} counted in {len(samples)} weighed "
            f"{'sample' if len(samples) == 1 else 'samples'}",
        ),
        lowest=lowest,
        highest=highest,
        formula=FORMULA,
        source="proportion of mass and count; common practice, no source",
    )


def _round_up(percent: Fraction) -> Decimal:
    """Return a percentage in tenths, rounded up."""
    return Decimal(ceil(percent * 10)).scaleb(-1).quantize(Decimal("0.1"), rounding=ROUND_CEILING)
