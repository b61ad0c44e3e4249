"""What the policy allows so that a plan is possible or cheaper: drops, splices, substitutions."""

from typing import Annotated

from pydantic import Field

from service.wire import limits
from service.wire.base import WireModel
from service.wire.opening import Edges
from service.wire.sale_terms import PricePerLength
from service.wire.scalars import Length, LengthOrZero, Money, Name


class KeepDrops(WireModel):
    """Drops worth keeping for reuse, and what they are worth."""

    least_length: LengthOrZero
    """The least length of a drop that is kept."""
    credit: PricePerLength
    """What a kept drop is credited at by its length, rounded down to the currency's minor unit.
    It must not be worth more than the same length of any bar costs; the rest of an offcut is
    never credited at more for its length than the offcut was."""


class Splice(WireModel):
    """Where a piece of a product may be made of two segments, end to end. Nothing is spliced
    without such a rule."""

    product: Annotated[Name, Field(examples=["interlocking-strip"])]
    edges: Edges
    """The edges whose pieces may be spliced."""
    least_segment: Length
    """The least length of each of the two segments."""
    position_step: Length
    """The joint lies a whole number of these from one end of the piece; 5 mm or more."""
    least_head: LengthOrZero = 0
    """A piece at a head that is shorter than this is never spliced."""
    cost: Money = "0"
    """What each splice is counted at, for the work of it; it is weighed, not paid to a
    supplier."""


class ProductAndFinish(WireModel):
    """A product in a finish, as the catalogues write them."""

    product: Annotated[Name, Field(examples=["interlocking-strip"])]
    finish: Annotated[Name, Field(examples=["bronze"])]


class Substitution(WireModel):
    """A product or finish that may stand in for another: for all pieces of it that one opening
    needs, never for a part of them."""

    wanted: ProductAndFinish
    """What openings ask for."""
    instead: ProductAndFinish
    """What they may have in its place; a catalogue or the rack must offer it."""
    preference: Money = "0"
    """What having the wanted one is worth to you for each opening: the other stands in only
    where it saves more. It is weighed, not paid."""


Splices = Annotated[
    list[Splice], Field(max_length=limits.SPLICE_RULES, json_schema_extra={"default": []})
]
Substitutions = Annotated[
    list[Substitution], Field(max_length=limits.SUBSTITUTIONS, json_schema_extra={"default": []})
]
