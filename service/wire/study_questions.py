"""Questions that are asked again and again: one entry each, which makes points of its own."""

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypeAliasType

from service.wire import limits
from service.wire.base import WireModel
from service.wire.opening import Opening
from service.wire.order_to_plan import CatalogueOrReference
from service.wire.scalars import Length, Name, NumberOrText

USUAL_SPACINGS: tuple[NumberOrText, ...] = ("1 1/2 in", "2 in", "3 in", "6 in")
"""Common practice, no source."""


class InstallersSpacing(WireModel):
    """What each spacing of the installer's comes to, in every opening."""

    question: Literal["installers-spacing"]
    spacings: Annotated[list[Length], Field(min_length=1, max_length=limits.STUDY_VALUES)] = Field(
        default_factory=lambda: [*USUAL_SPACINGS]
    )


class FastenersWithKits(WireModel):
    """Fasteners with every kit, with some as it comes cheapest, or with none."""

    question: Literal["fasteners-with-kits"]


class NowOrNext(WireModel):
    """Whether to buy now or with the next order: both alone, and both together.

    The next one is bought by the same catalogues and policy, and finds the same rack.
    """

    question: Literal["now-or-next"]
    openings: Annotated[list[Opening], Field(min_length=1, max_length=limits.OPENINGS)]
    """The schedule of the next order."""


class Offer(WireModel):
    """The catalogues of one offer, under its name."""

    name: Name
    catalogues: Annotated[
        list[CatalogueOrReference], Field(min_length=1, max_length=limits.SUPPLIERS)
    ]


class OtherCatalogue(WireModel):
    """What the order comes to from other catalogues than its own."""

    question: Literal["other-catalogue"]
    offers: Annotated[list[Offer], Field(min_length=1, max_length=limits.STUDY_VALUES)]


class Quantity(WireModel):
    """How many more openings of a mark it takes to the next price break."""

    question: Literal["quantity"]
    mark: Name
    up_to: Annotated[int, Field(ge=2, le=limits.OPENINGS)]
    """The quantity at which to stop looking."""


class Finish(WireModel):
    """Which of some finishes comes cheapest, for the whole order."""

    question: Literal["finish"]
    finishes: Annotated[list[Name], Field(min_length=1, max_length=limits.STUDY_VALUES)]


StudyQuestion = TypeAliasType(
    "StudyQuestion",
    Annotated[
        InstallersSpacing | FastenersWithKits | NowOrNext | OtherCatalogue | Quantity | Finish,
        Field(discriminator="question"),
    ],
)
