"""Elements of UBL, and how its amounts, quantities and lengths are written: exact."""

from decimal import Decimal
from enum import StrEnum
from typing import Final
from xml.etree import ElementTree as ET

from optimiser.render.table import make_printable
from optimiser.units.lengths import NM_PER_INCH, NM_PER_MILLIMETRE, LengthUnit
from optimiser.units.money import minor_digits

NAMESPACES: Final = {
    "xmlns": "urn:oasis:names:specification:ubl:schema:xsd:Order-2",
    "xmlns:cac": "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2",
    "xmlns:cbc": "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2",
}


class UnitCode(StrEnum):
    """Units by UN/ECE Recommendation 20, Codes for Units of Measure Used in International Trade.

    A bar is a `PIECE`, which is one item as such. A kit is a `SET` of items that belong together;
    code KT of the same list, "kit", is not used: receivers take it for a tub. A pack of fasteners
    and a bundle of bars are a `PACK`, several items that are sold together.
    """

    PIECE = "H87"
    SET = "SET"
    PACK = "NMP"
    INCH = "INH"
    MILLIMETRE = "MMT"


def part(parent: ET.Element, name: str) -> ET.Element:
    """Add an element that holds others, and return it."""
    return ET.SubElement(parent, f"cac:{name}")


def say(parent: ET.Element, name: str, text: str, **attributes: str) -> None:
    """Add an element that holds a text; nothing where the text is blank."""
    if text.strip():
        child = ET.SubElement(
            parent, f"cbc:{name}", {key: make_printable(v) for key, v in attributes.items()}
        )
        child.text = make_printable(text)


def say_amount(parent: ET.Element, name: str, amount: Decimal, currency: str) -> None:
    """Add an amount: exact, with at least the currency's minor digits."""
    decimals = f"{amount:f}".partition(".")[2].rstrip("0")
    digits = max(minor_digits(currency), len(decimals))
    say(parent, name, f"{amount:.{digits}f}", currencyID=currency)


def say_quantity(parent: ET.Element, name: str, quantity: int, unit: UnitCode) -> None:
    """Add a number of units."""
    say(parent, name, str(quantity), unitCode=unit)


def say_length(parent: ET.Element, name: str, length_nm: int, unit: LengthUnit) -> None:
    """Add a length: in inches where that is the unit and the decimal ends, else in millimetres."""
    if unit is LengthUnit.INCH and length_nm * 10**6 % NM_PER_INCH == 0:
        number, code = Decimal(length_nm * 10**6 // NM_PER_INCH).scaleb(-6), UnitCode.INCH
    else:
        number, code = Decimal(length_nm) / NM_PER_MILLIMETRE, UnitCode.MILLIMETRE
    text = f"{number:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    say(parent, name, text, unitCode=code)
