"""Why kits and fasteners are what they are: the reasons of what supplies the openings."""

from typing import Literal

from optimiser.domain.catalogue import PackRounding
from optimiser.domain.order import FastenerCounting
from service.wire.base import WireModel
from service.wire.shown import (
    Amount,
    Count,
    DecimalText,
    ExactNumber,
    LengthCount,
    Material,
    Packed,
    ShownLength,
)
from service.wire.told import Told


class NailedPieces(WireModel):
    """Pieces of one length and the fasteners of each when they are counted per piece."""

    length: ShownLength
    pieces: Count
    fasteners_each: Count


class FastenersCountedFacts(WireModel):
    """The fasteners of one opening, by both rules."""

    fastener: str
    finish: str | None
    spacing: ShownLength
    end_distance: ShownLength
    least_fasteners: Count
    """The fewest fasteners of one piece, when counted per piece."""
    running_length: ShownLength
    by_running_length: Count
    per_piece: Count
    pieces: list[NailedPieces]
    bought_by: FastenerCounting
    """The rule that the policy names."""


class FastenersCounted(Told[Literal["fasteners-counted"], FastenersCountedFacts]):
    """How many fasteners one opening takes."""


class FastenersNeededFacts(WireModel):
    """Counted + allowance + spares = needed, over the order."""

    fastener: str
    finish: str | None
    by_running_length: Count
    per_piece: Count
    bought_by: FastenerCounting
    counted: Count
    allowance_percent: DecimalText
    allowance: Count
    spares: Count
    needed: Count


class FastenersNeeded(Told[Literal["fasteners-needed"], FastenersNeededFacts]):
    """How many fasteners the order needs."""


class SetServedFacts(WireModel):
    """Kits with fasteners + bare kits + standard kits + cut + cut instead = openings."""

    material: Material
    lengths: list[LengthCount]
    """Per opening."""
    openings: Count
    kits_with_fasteners: Count
    bare_kits: Count
    standard_kits: Count
    """Openings whose pieces are trimmed on site from a kit of a standard size."""
    cut: Count
    """Openings whose pieces are cut from stock lengths and offcuts of the material."""
    cut_instead: Count
    """Openings whose pieces are cut from another material that may stand in for it."""


class SetServed(Told[Literal["set-served"], SetServedFacts]):
    """What serves the openings that need the same pieces."""


class KitFastenersCountedFacts(WireModel):
    """Nailed length ÷ spacing is fasteners; that ÷ `per_pack`, rounded, is packs."""

    sku: str
    fastener: str
    nailed: ShownLength
    spacing: ShownLength
    fasteners: Count
    per_pack: ExactNumber
    tolerance_percent: DecimalText
    rounding: PackRounding
    packs: Count
    counted_on: Count
    """What one kit brings at the low end of its packs."""


class KitFastenersCounted(Told[Literal["kit-fasteners-counted"], KitFastenersCountedFacts]):
    """How many fasteners the supplier puts into a kit."""


class KitPricedFacts(WireModel):
    """The price of one kit: base + by length + by piece + by pack = unit price."""

    sku: str
    base: Amount
    per_length: Amount
    """The price of `per_length_of` of strip."""
    per_length_of: ShownLength
    running_length: ShownLength
    per_piece: Amount
    pieces: Count
    per_pack: Amount
    packs: Count
    unit_price: Amount
    """Rounded to the currency's minor unit."""


class KitPriced(Told[Literal["kit-priced"], KitPricedFacts]):
    """How the price of a made-to-measure kit comes about."""


class LoosePack(WireModel):
    """The cheapest loose pack of the same fasteners."""

    sku: str
    price: Amount
    fasteners: Count


class KitFastenersPricedFacts(WireModel):
    """What the fasteners of a kit cost, beside loose ones."""

    sku: str
    bare_sku: str
    extra: Amount
    """The kit's price above the cheapest bare kit for the same pieces."""
    packs: Count
    counted_on: Count
    loose: LoosePack | None


class KitFastenersPriced(Told[Literal["kit-fasteners-priced"], KitFastenersPricedFacts]):
    """What fasteners cost in a kit, beside the same bought loose."""


class FastenersSuppliedFacts(WireModel):
    """How the fasteners arrive, and how much is left over."""

    fastener: str
    finish: str | None
    needed: Count
    kits: list[Packed]
    packs: list[Packed]
    on_hand: Count
    """Fasteners taken from those on hand."""
    left_on_hand: Count
    """Fasteners of the kind that stay on hand."""
    supplied: Count
    spare: Count
    least_percent: DecimalText
    """The least share of its stated count, in per cent, that every pack may hold while there is
    still enough with all that is on hand."""
    least_per_pack: Count | None
    """The same as a count, where every pack states the same count."""
    stated_per_pack: ExactNumber | None


class FastenersSupplied(Told[Literal["fasteners-supplied"], FastenersSuppliedFacts]):
    """How the fasteners arrive."""
