"""What a kit costs and brings, worked out anew for the re-proof."""

from fractions import Fraction
from math import ceil, floor

from optimiser.domain.catalogue import Kit, PackContents, PackRounding
from optimiser.domain.takeoff import PieceSet
from optimiser.units.money import minor_digits


def low_contents(contents: PackContents) -> int:
    """Return the whole fasteners in a pack that is as light as its tolerance lets it be."""
    return floor(contents.nominal * (100 - Fraction(contents.tolerance_percent)) / 100)


def packs_in_kit(kit: Kit, pieces: PieceSet) -> int:
    """Return the packs that the supplier puts into a kit of these pieces; none if it is bare."""
    if kit.fasteners is None:
        return 0
    nailed_nm = sum(nm for name, nm in pieces.nailed_nm if name == kit.fasteners.fastener)
    fasteners = ceil(Fraction(nailed_nm, kit.fasteners.spacing_nm))
    packs = fasteners / kit.fasteners.contents.nominal
    whole = floor(packs)
    if kit.fasteners.rounding is PackRounding.DOWN or packs == whole:
        return whole
    if kit.fasteners.rounding is PackRounding.NEAREST and packs - whole < Fraction(1, 2):
        return whole
    return whole + 1


def price_of_kit(kit: Kit, pieces: PieceSet, currency: str) -> Fraction:
    """Return the price of one kit of these pieces, in whole minor units, half a unit up."""
    length_nm = sum(nm * count for nm, count in pieces.lengths)
    number = sum(count for _, count in pieces.lengths)
    price = kit.price
    exact = (
        Fraction(price.base)
        + Fraction(price.per_length) * Fraction(length_nm, price.per_length_nm)
        + Fraction(price.per_piece) * number
        + Fraction(price.per_pack) * packs_in_kit(kit, pieces)
    )
    minor_units = 10 ** minor_digits(currency)
    return Fraction(floor(exact * minor_units + Fraction(1, 2)), minor_units)
