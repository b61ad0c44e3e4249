"""What a kit costs and brings. Prices are invented; counts are those of the trade."""

from decimal import Decimal
from fractions import Fraction

import pytest

from optimiser.domain.catalogue import (
    Kit,
    KitFasteners,
    KitPrice,
    Material,
    PackContents,
    PackRounding,
)
from optimiser.domain.kit_offer import KitQuote, quote_kit
from optimiser.domain.takeoff import PieceSet
from optimiser.units.lengths import NM_PER_FOOT, NM_PER_INCH

STRIP = Material("interlocking-strip", "zinc")
DOOR = PieceSet(
    material=STRIP,
    lengths=((80 * NM_PER_INCH, 3), (36 * NM_PER_INCH, 2)),
    nailed_nm=(("strip-nail", 312 * NM_PER_INCH),),
)
PRICE = KitPrice(
    base=Decimal("7.50"),
    per_length=Decimal("1.275"),
    per_length_nm=NM_PER_FOOT,
    per_piece=Decimal("0.40"),
    per_pack=Decimal("2.40"),
)


def nails(
    rounding: PackRounding, *, tolerance: str = "0", fastener: str = "strip-nail"
) -> KitFasteners:
    return KitFasteners(
        fastener=fastener,
        spacing_nm=3 * NM_PER_INCH // 2,
        contents=PackContents(nominal=Fraction(65), tolerance_percent=Decimal(tolerance)),
        rounding=rounding,
    )


def test_bare_kit_is_priced_by_base_length_and_pieces_half_a_cent_up() -> None:
    # 7.50 + 26 ft × 1.275 + 5 × 0.40 = 7.50 + 33.15 + 2.00 = 42.65
    kit = Kit(sku="K", material=STRIP, price=PRICE)
    assert quote_kit(kit, DOOR, "USD") == KitQuote(
        unit_price=Decimal("42.65"), fastener_count=0, packs=0, fasteners_low=0
    )
    half_a_cent = KitPrice(per_length=Decimal("0.001"), per_length_nm=312 * NM_PER_INCH // 5)
    kit = Kit(sku="K", material=STRIP, price=half_a_cent)
    assert quote_kit(kit, DOOR, "USD").unit_price == Decimal("0.01")


@pytest.mark.parametrize(
    ("rounding", "packs", "price"),
    [
        # 312 in at 1.5 in = 208 nails = 3.2 packs of 65: by arithmetic.
        (PackRounding.UP, 4, "52.25"),
        (PackRounding.NEAREST, 3, "49.85"),
        (PackRounding.DOWN, 3, "49.85"),
    ],
)
def test_fasteners_of_a_door_kit_come_in_whole_packs_as_the_supplier_rounds(
    rounding: PackRounding, packs: int, price: str
) -> None:
    kit = Kit(sku="K", material=STRIP, price=PRICE, fasteners=nails(rounding))
    assert quote_kit(kit, DOOR, "USD") == KitQuote(
        unit_price=Decimal(price), fastener_count=208, packs=packs, fasteners_low=65 * packs
    )


def test_half_a_pack_rounds_up_where_the_supplier_rounds_to_nearest() -> None:
    # 97.5 in at 1.5 in = 65 nails = 2.5 packs of 26.
    pieces = PieceSet(
        material=STRIP,
        lengths=((975 * NM_PER_INCH // 10, 1),),
        nailed_nm=(("strip-nail", 975 * NM_PER_INCH // 10),),
    )
    fasteners = KitFasteners(
        fastener="strip-nail",
        spacing_nm=3 * NM_PER_INCH // 2,
        contents=PackContents(nominal=Fraction(26)),
        rounding=PackRounding.NEAREST,
    )
    kit = Kit(sku="K", material=STRIP, price=PRICE, fasteners=fasteners)
    assert quote_kit(kit, pieces, "USD").packs == 3


def test_kit_is_counted_on_for_the_low_end_of_its_packs() -> None:
    # 65 less 5 % = 61.75, so 61 whole nails a pack; packs themselves follow the stated 65.
    kit = Kit(sku="K", material=STRIP, price=PRICE, fasteners=nails(PackRounding.UP, tolerance="5"))
    quote = quote_kit(kit, DOOR, "USD")
    assert (quote.packs, quote.fasteners_low) == (4, 244)


def test_kit_whose_fastener_nothing_takes_brings_none() -> None:
    kit = Kit(
        sku="K", material=STRIP, price=PRICE, fasteners=nails(PackRounding.UP, fastener="screw")
    )
    assert quote_kit(kit, DOOR, "USD") == KitQuote(
        unit_price=Decimal("42.65"), fastener_count=0, packs=0, fasteners_low=0
    )
