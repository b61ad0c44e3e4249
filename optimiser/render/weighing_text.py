"""A calibrated pack as plain text."""

from collections.abc import Iterator
from fractions import Fraction

from optimiser.domain.field import CalibratedPack
from optimiser.render.table import write_item
from optimiser.units.masses import GRAMS_PER_OUNCE


def render_calibration(pack: CalibratedPack) -> str:
    """Return what weighed samples say of a pack: count, spread, and what to buy for."""
    return "\n".join(_write(pack)) + "\n"


def _write(pack: CalibratedPack) -> Iterator[str]:
    per_ounce = GRAMS_PER_OUNCE * pack.counted / pack.weighed_grams
    yield from write_item(
        f"A pack of {_tenths(pack.pack_grams)} g holds {_tenths(pack.contents.nominal)} "
        f"({_tenths(per_ounce)} to the ounce), from {pack.contents.basis}.",
        bullet="",
    )
    yield from write_item(
        f"From {_tenths(pack.lowest)} to {_tenths(pack.highest)} by the samples: a spread of "
        f"{_tenths(pack.spread)}."
    )
    yield from write_item(
        f"Tolerance {pack.contents.tolerance_percent} %: the plan counts on "
        f"{pack.contents.low_count:,} in a pack."
    )
    yield from write_item(f"{pack.formula[0].upper()}{pack.formula[1:]} ({pack.source}).")


def _tenths(value: Fraction) -> str:
    """Return a number to the nearest tenth, half a tenth up."""
    tenths = int(value * 10 + Fraction(1, 2))
    return f"{tenths // 10:,}" if tenths % 10 == 0 else f"{tenths // 10:,}.{tenths % 10}"
