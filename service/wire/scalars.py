"""Scalars that a request may hold: lengths, money, percentages, names.

Numbers arrive as `int` or `Decimal`, never as binary floats. What a text states is read by the
mapping, which knows the order's unit; here only the form is checked.
"""

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field, PlainValidator, StringConstraints, WithJsonSchema
from pydantic_core import PydanticCustomError
from typing_extensions import TypeAliasType

from service.wire import limits

Number = int | Decimal
NumberOrText = int | Decimal | str

NO_CONTROL_CHARACTERS = r"^[^\u0000-\u001f\u007f]*$"
NO_CONTROL_CHARACTERS_BUT_LINES = r"^[^\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]*$"
NAME_PATTERN = r"^[^\u0000-\u0020\u007f]([^\u0000-\u001f\u007f]*[^\u0000-\u0020\u007f])?$"
MONEY_PATTERN = r"^(0|[1-9][0-9]{0,8})(\.[0-9]{1,6})?$"
SKU_PATTERN = r"^[A-Za-z0-9]([A-Za-z0-9 ._/+#-]{0,62}[A-Za-z0-9._/+#-])?$"

_MONEY = re.compile(MONEY_PATTERN[1:-1])
_ONE_LINE = re.compile(NO_CONTROL_CHARACTERS[1:-1])


def is_number(value: object) -> bool:
    """Return whether a value is a JSON number."""
    return isinstance(value, int | Decimal) and not isinstance(value, bool)


def _length_check(*, zero: bool) -> Callable[[object], NumberOrText]:
    def check(value: object) -> NumberOrText:
        if isinstance(value, str):
            if not 1 <= len(value) <= limits.QUANTITY_CHARACTERS:
                raise PydanticCustomError(
                    "text-length",
                    "has {count} characters; write a length of 1 to {most} characters",
                    {"count": len(value), "most": limits.QUANTITY_CHARACTERS},
                )
            if not _ONE_LINE.fullmatch(value):
                raise PydanticCustomError("wrong-form", "holds a control character; remove it")
            return value
        if isinstance(value, bool) or not isinstance(value, int | Decimal):
            raise PydanticCustomError(
                "wrong-type",
                "is not a length; send a number in the order's unit, or a text such as "
                '"36 1/2 in", "3\'-0\\"" or "914.4 mm"',
            )
        if value < 0 or (value == 0 and not zero):
            least = "0 or more" if zero else "more than 0"
            raise PydanticCustomError(
                "out-of-range", "must be {least}; correct the length", {"least": least}
            )
        if value > limits.LENGTH_NUMBER:
            raise PydanticCustomError(
                "out-of-range",
                "is above the limit, {most}; check the number and the order's unit",
                {"most": f"{limits.LENGTH_NUMBER:,}"},
            )
        return value

    return check


def _length_schema(*, zero: bool) -> dict[str, Any]:
    least = {"minimum": 0} if zero else {"exclusiveMinimum": 0}
    return {
        "description": "A length: a number in the order's unit, or a text with its unit. In "
        "text: in, ft, mm, cm or m, foot and inch marks, decimals and fractions. It must be a "
        "whole number of nanometres, as every 64th of an inch and every decimal millimetre is.",
        "examples": [36, "36 1/2 in", "3'-0\"", "914.4 mm"] if not zero else ["1/8 in", 0],
        "anyOf": [
            {"type": "number", **least, "maximum": limits.LENGTH_NUMBER},
            {
                "type": "string",
                "pattern": NO_CONTROL_CHARACTERS,
                "minLength": 1,
                "maxLength": limits.QUANTITY_CHARACTERS,
            },
        ],
    }


Length = TypeAliasType(
    "Length",
    Annotated[
        NumberOrText,
        PlainValidator(_length_check(zero=False)),
        WithJsonSchema(_length_schema(zero=False)),
    ],
)
LengthOrZero = TypeAliasType(
    "LengthOrZero",
    Annotated[
        NumberOrText,
        PlainValidator(_length_check(zero=True)),
        WithJsonSchema(_length_schema(zero=True)),
    ],
)


def _check_money(value: object) -> str:
    if is_number(value):
        raise PydanticCustomError(
            "money-as-number",
            'is a number; send money as a text, such as "12.40", so that no digit is lost',
        )
    if not isinstance(value, str):
        raise PydanticCustomError("wrong-type", 'is not a price; send a text such as "12.40"')
    if not _MONEY.fullmatch(value):
        raise PydanticCustomError(
            "wrong-form",
            "is not a price; write digits and a decimal point, 0 or more, with at most 9 digits "
            'before the point and 6 after it, such as "12.40"',
        )
    return value


Money = TypeAliasType(
    "Money",
    Annotated[
        str,
        PlainValidator(_check_money),
        WithJsonSchema(
            {
                "type": "string",
                "pattern": MONEY_PATTERN,
                "description": "An amount of the catalogue's currency as a decimal text, 0 or "
                "more, with up to 6 decimals. A JSON number is refused: it may have lost digits.",
                "examples": ["12.40", "0.065"],
            }
        ),
    ],
)


def _decimal_alias(
    name: str, description: str, *, range_schema: dict[str, int], pattern: str, example: str
) -> Any:
    """Return a type for a number in a range, written as a JSON number or as a decimal text."""
    form = re.compile(pattern[1:-1])
    least = range_schema.get("minimum", range_schema.get("exclusiveMinimum", 0))
    most = range_schema.get("maximum", range_schema.get("exclusiveMaximum", 0))
    wanted = f"a number from {least} to {most:,}, or a text such as {example!r}"

    def check(value: object) -> NumberOrText:
        if isinstance(value, str):
            if not form.fullmatch(value):
                raise PydanticCustomError(
                    "wrong-form", "cannot be read; send {wanted}", {"wanted": wanted}
                )
            return value
        if isinstance(value, bool) or not isinstance(value, int | Decimal):
            raise PydanticCustomError(
                "wrong-type", "is not a number; send {wanted}", {"wanted": wanted}
            )
        if not (
            least <= value <= most
            and value != range_schema.get("exclusiveMinimum")
            and value != range_schema.get("exclusiveMaximum")
        ):
            raise PydanticCustomError(
                "out-of-range", "is out of range; send {wanted}", {"wanted": wanted}
            )
        return value

    schema = {
        "description": description,
        "examples": [example],
        "anyOf": [
            {"type": "number", **range_schema},
            {"type": "string", "pattern": pattern},
        ],
    }
    return TypeAliasType(
        name, Annotated[NumberOrText, PlainValidator(check), WithJsonSchema(schema)]
    )


Percent = _decimal_alias(
    "Percent",
    "A percentage from 0 to 100, as a number or a decimal text.",
    range_schema={"minimum": 0, "maximum": 100},
    pattern=r"^(100(\.0{1,6})?|[0-9]{1,2}(\.[0-9]{1,6})?)$",
    example="5",
)
PercentBelow100 = _decimal_alias(
    "PercentBelow100",
    "A percentage of 0 or more and less than 100, as a number or a decimal text.",
    range_schema={"minimum": 0, "exclusiveMaximum": 100},
    pattern=r"^[0-9]{1,2}(\.[0-9]{1,6})?$",
    example="2.5",
)
AdditionPercent = _decimal_alias(
    "AdditionPercent",
    "A percentage that is added to a cost, 0 or more, as a number or a decimal text.",
    range_schema={"minimum": 0, "maximum": 10_000},
    pattern=r"^(10000(\.0{1,6})?|[0-9]{1,4}(\.[0-9]{1,6})?)$",
    example="35",
)
Minutes = _decimal_alias(
    "Minutes",
    "Minutes, as a number or a decimal text.",
    range_schema={"minimum": 0, "maximum": 10_000},
    pattern=r"^(10000(\.0{1,6})?|[0-9]{1,4}(\.[0-9]{1,6})?)$",
    example="2.5",
)
CountPerWeight = _decimal_alias(
    "CountPerWeight",
    "How many fasteners there are to a weight, as a number or a decimal text.",
    range_schema={"exclusiveMinimum": 0, "maximum": limits.IN_ONE_PACK},
    pattern=r"^[1-9][0-9]{0,8}(\.[0-9]{1,6})?$",
    example="1040",
)

Degrees = _decimal_alias(
    "Degrees",
    "A temperature, as a number or a decimal text; its unit stands beside it.",
    range_schema={"minimum": -200, "maximum": 300},
    pattern=r"^-?[0-9]{1,3}(\.[0-9]{1,6})?$",
    example="-10",
)
Coefficient = _decimal_alias(
    "Coefficient",
    "A coefficient of movement above 0, as a number or a decimal text.",
    range_schema={"exclusiveMinimum": 0, "maximum": 1_000},
    pattern=r"^(0\.(?=[0-9]*[1-9])[0-9]{1,9}|[1-9][0-9]{0,2}(\.[0-9]{1,9})?)$",
    example="17.3",
)

Name = TypeAliasType(
    "Name",
    Annotated[
        str,
        StringConstraints(pattern=NAME_PATTERN, max_length=limits.NAME_CHARACTERS),
        Field(description="A name, without control characters or blanks at its ends."),
    ],
)
Sku = TypeAliasType(
    "Sku",
    Annotated[
        str,
        StringConstraints(pattern=SKU_PATTERN),
        Field(description="A supplier's article number.", examples=["LS-Z-084"]),
    ],
)
CurrencyCode = TypeAliasType(
    "CurrencyCode",
    Annotated[
        str,
        StringConstraints(pattern=r"^[A-Z]{3}$"),
        Field(description="A currency's ISO 4217 code.", examples=["USD", "EUR"]),
    ],
)
