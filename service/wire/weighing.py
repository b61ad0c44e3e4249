"""Fasteners that were weighed and counted, and what they say of a pack."""

from typing import Annotated

from pydantic import Field

from service.wire import limits
from service.wire.base import WireModel
from service.wire.sale_terms import Weight
from service.wire.shown import Count, DecimalText, ExactNumber


class WeighedSample(WireModel):
    """A sample: the fasteners alone, without box or bag."""

    weight: Weight
    count: Annotated[int, Field(ge=1, le=limits.IN_ONE_PACK, examples=[65])]


class WeighedSamples(WireModel):
    """Samples of one kind of fastener, and the weight of a pack as it is sold."""

    pack_weight: Weight
    samples: Annotated[list[WeighedSample], Field(min_length=1, max_length=limits.SAMPLES)]
    """One shows no spread but that of the scale; several of fifty or more are worth weighing."""
    scale_step: Annotated[Weight, Field(examples=["0.1 g"])] | None = None
    """The steps in which the scale shows weights. Null takes the weights as exact."""


class CalibratedContents(WireModel):
    """The contents of a pack, as a catalogue of an order takes them."""

    count_per_weight: Count
    weight: str
    pack_weight: str
    tolerance_percent: DecimalText


class CalibratedPack(WireModel):
    """What a pack holds, from samples that were weighed and counted."""

    count_per_pack: ExactNumber
    count_per_ounce: ExactNumber
    lowest: ExactNumber
    """By the sample with the fewest, half a step of the scale heavier."""
    highest: ExactNumber
    spread: ExactNumber
    """Highest less lowest."""
    tolerance_percent: DecimalText
    """Covers the sample with the fewest; rounded up to a tenth."""
    low_count: Count
    """Whole fasteners that a plan counts on in a pack."""
    contents: CalibratedContents
    """Goes into a catalogue as it is."""
    basis: str
    formula: str
    source: str
