"""Values as an answer states them."""

from typing import Annotated

from pydantic import Field
from typing_extensions import TypeAliasType

from service.wire.base import WireModel

Amount = TypeAliasType(
    "Amount",
    Annotated[
        str,
        Field(
            pattern=r"^-?[0-9]+(\.[0-9]+)?$",
            description="An amount of money, exact, with at least the currency's minor digits.",
            examples=["1038.40"],
        ),
    ],
)
ExactNumber = TypeAliasType(
    "ExactNumber",
    Annotated[
        str,
        Field(
            pattern=r"^[0-9]+(\.[0-9]+|/[0-9]+)?$",
            description="An exact number: a decimal where it ends, else a fraction.",
            examples=["65", "1040/3"],
        ),
    ],
)
DecimalText = TypeAliasType(
    "DecimalText",
    Annotated[
        str,
        Field(pattern=r"^[0-9]+(\.[0-9]+)?$", description="A decimal, exact.", examples=["2.5"]),
    ],
)
Count = TypeAliasType("Count", Annotated[int, Field(ge=0)])


class ShownLength(WireModel):
    """A length, twice: in the order's unit for a reader, in millimetres for a program."""

    text: Annotated[str, Field(examples=["36 1/2 in"])]
    """The length in the order's unit; in millimetres where that unit cannot show it exactly."""
    mm: Annotated[str, Field(pattern=r"^[0-9]+(\.[0-9]+)?$", examples=["927.1"])]
    """The length in millimetres, exact."""


class SignedLength(WireModel):
    """A length that is added, or deducted where it is below zero."""

    text: Annotated[str, Field(examples=["-1/8 in"])]
    """The length in the order's unit; in millimetres where that unit cannot show it exactly."""
    mm: Annotated[str, Field(pattern=r"^-?[0-9]+(\.[0-9]+)?$", examples=["-3.175"])]
    """The length in millimetres, exact."""


class Material(WireModel):
    """What is cut: a product in a finish."""

    product: str
    finish: str


class LengthCount(WireModel):
    """Pieces of one length."""

    length: ShownLength
    count: Count


class MarkCount(WireModel):
    """Openings of one mark."""

    mark: str
    openings: Count


class Packed(WireModel):
    """Kits or packs that bring fasteners."""

    sku: str
    quantity: Count
    """Kits or packs."""
    fasteners_each: Count
    """What one of them brings, at the low end of its contents."""
