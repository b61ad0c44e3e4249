"""An opening of the order."""

from typing import Annotated, Any

from pydantic import AfterValidator, Discriminator, Field, Strict, StringConstraints, Tag
from pydantic_core import PydanticCustomError
from typing_extensions import TypeAliasType

from optimiser.domain.opening import (
    Edge,
    MeetingStiles,
    OpeningKind,
    SashCords,
    SideStrips,
    SizeOf,
    Threshold,
)
from service.wire import limits
from service.wire.base import WireModel
from service.wire.scalars import (
    NO_CONTROL_CHARACTERS,
    NO_CONTROL_CHARACTERS_BUT_LINES,
    Length,
    Name,
)


class WidthAndHeight(WireModel):
    """A size as its two sides. For a pair sized by the leaf, the width is that of one leaf."""

    width: Length
    height: Length


SizeText = TypeAliasType(
    "SizeText",
    Annotated[
        str,
        StringConstraints(
            pattern=NO_CONTROL_CHARACTERS, min_length=1, max_length=limits.QUANTITY_CHARACTERS
        ),
        Field(
            description="A size in the shorthand of door schedules, width first: four digits are "
            "feet and inches, so 3068 is 3'-0\" wide and 6'-8\" high.",
            examples=["3068", "3-0 x 6-8", "3'0\" x 6'8\"", "3/0 6/8", "36 x 80"],
        ),
    ],
)


def _form_of_size(value: Any) -> str | None:
    if isinstance(value, str):
        return "text"
    return "sides" if isinstance(value, dict | WidthAndHeight) else None


Size = TypeAliasType(
    "Size",
    Annotated[
        Annotated[WidthAndHeight, Tag("sides")] | Annotated[SizeText, Tag("text")],
        Discriminator(
            _form_of_size,
            custom_error_type="wrong-type",
            custom_error_message="is not a size; send an object with width and height, "
            'or a text such as "3068"',
        ),
        Field(description="A size: width and height, or the shorthand of door schedules."),
    ],
)


def _check_edges(edges: list[Edge]) -> list[Edge]:
    repeated = sorted({edge.value for edge in edges if edges.count(edge) > 1})
    if repeated:
        raise PydanticCustomError(
            "repeated-edge",
            "names {edges} more than once; name each edge once",
            {"edges": ", ".join(repeated)},
        )
    return edges


Edges = Annotated[
    list[Annotated[Edge, Strict(False)]],
    Field(min_length=1, max_length=len(Edge), json_schema_extra={"uniqueItems": True}),
    AfterValidator(_check_edges),
]


class Opening(WireModel):
    """One line of the schedule: openings that are alike under one mark."""

    mark: Annotated[Name, Field(examples=["D-14"])]
    """The mark of the schedule; each stands once in an order."""
    kind: Annotated[OpeningKind, Strict(False)]
    """What closes the opening."""
    size: Size
    size_of: Annotated[SizeOf, Strict(False)] = SizeOf.OPENING
    """What the size measures. A rough opening needs `policy.clearances.rough_width` and
    `rough_height`; a nominal size is that of the leaf as the trade names it."""
    lower_height: Length | None = None
    """The height of the lower leaf of a Dutch door or of the lower sash. Null takes half."""
    inactive_leaf_width: Length | None = None
    """The width of the inactive leaf of a pair, nominal where the size is. The active leaf has
    the rest; sized by the leaf, the stated width is the active one's. Null takes both leaves as
    equally wide."""
    quantity: Annotated[int, Field(ge=1, le=limits.OPENINGS)] = 1
    """How many openings there are of this line."""
    rule_set: Annotated[Name, Field(examples=["interlocking-strip"])] = "interlocking-strip"
    """The identifier of the rule set that says which pieces the opening needs."""
    also: Annotated[
        list[Name],
        Field(max_length=limits.WORKS_UNDER_ONE_MARK, examples=[["threshold", "sweep"]]),
    ] = Field(default_factory=list)
    """Further rule sets under the same mark, such as a threshold and a sweep."""
    finish: Annotated[Name, Field(examples=["zinc", "bronze"])]
    """The finish of every product, as the catalogue writes it."""
    finishes: Annotated[
        dict[Name, Name],
        Field(max_length=limits.FINISHES_OF_ONE_MARK, examples=[{"sweep": "aluminium"}]),
    ] = Field(default_factory=dict)
    """Products with a finish of their own."""
    fastener_spacing: Length | None = None
    """The installer's spacing of fasteners, centre to centre. Null leaves it to the policy, and
    then to the rule set."""
    meeting_stiles: Annotated[MeetingStiles, Strict(False)] = MeetingStiles.BY_OTHERS
    """How the meeting stiles of a pair are sealed."""
    threshold: Annotated[Threshold, Strict(False)] = Threshold.NONE
    """What closes the sill of a door."""
    sash_cords: Annotated[SashCords, Strict(False)] = SashCords.NONE
    """Whether the sashes of a double-hung window hang on cords over pulleys."""
    side_strips: Annotated[SideStrips, Strict(False)] = SideStrips.FULL_HEIGHT
    """How far the strips at the sides of a double-hung window reach."""
    edges: Edges | None = None
    """The edges to work on. Null means every edge of the rule set."""
    remarks: Annotated[
        str,
        StringConstraints(
            pattern=NO_CONTROL_CHARACTERS_BUT_LINES, max_length=limits.REMARKS_CHARACTERS
        ),
    ] = ""
    """Remarks, handed through to the plan."""
