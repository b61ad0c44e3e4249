"""Weighed samples in, a calibrated pack out."""

from fractions import Fraction

from optimiser.domain import field as domain
from optimiser.units.masses import GRAMS_PER_OUNCE, parse_mass
from service.mapping.faults import FaultGatherer
from service.mapping.shown import write_decimal, write_fraction
from service.wire import weighing as wire

Weighed = tuple[list[domain.WeighedSample], Fraction, Fraction]
"""The samples, the mass of a pack and the step of the scale, in grams."""


def to_samples(stated: wire.WeighedSamples, gatherer: FaultGatherer) -> Weighed:
    """Return what was weighed; what cannot be read is kept by the gatherer."""
    one = Fraction(1)
    samples = [
        domain.WeighedSample(
            grams=gatherer.read(("samples", position, "weight"), one, parse_mass, sample.weight),
            count=sample.count,
        )
        for position, sample in enumerate(stated.samples)
    ]
    pack = gatherer.read(("pack_weight",), one, parse_mass, stated.pack_weight)
    step = Fraction(0)
    if stated.scale_step is not None:
        step = gatherer.read(("scale_step",), step, parse_mass, stated.scale_step)
    return samples, pack, step


def write_calibration(pack: domain.CalibratedPack) -> wire.CalibratedPack:
    """Return a calibrated pack as an answer states it."""
    contents = pack.contents
    tolerance = write_decimal(contents.tolerance_percent)
    return wire.CalibratedPack(
        count_per_pack=write_fraction(contents.nominal),
        count_per_ounce=write_fraction(GRAMS_PER_OUNCE * pack.counted / pack.weighed_grams),
        lowest=write_fraction(pack.lowest),
        highest=write_fraction(pack.highest),
        spread=write_fraction(pack.spread),
        tolerance_percent=tolerance,
        low_count=contents.low_count,
        contents=wire.CalibratedContents(
            count_per_weight=pack.counted,
            weight=f"{write_fraction(pack.weighed_grams)} g",
            pack_weight=f"{write_fraction(pack.pack_grams)} g",
            tolerance_percent=tolerance,
        ),
        basis=contents.basis,
        formula=pack.formula,
        source=pack.source,
    )
