"""The lines of a UBL order: what is bought, how much of it, at what price."""

from functools import partial
from xml.etree import ElementTree as ET

from optimiser.domain.phrases import plural
from optimiser.domain.plan import PurchaseKind, PurchaseLine
from optimiser.domain.publication import Language
from optimiser.explain.document_words import word
from optimiser.explain.wording import capital
from optimiser.publishing.ubl.elements import (
    UnitCode,
    part,
    say,
    say_amount,
    say_length,
    say_quantity,
)
from optimiser.render.buying_text import describe_purchase
from optimiser.units.lengths import LengthUnit, format_length


class LineWriter:
    """Writes lines with lengths in one unit, prices in one currency, words in one language."""

    def __init__(self, unit: LengthUnit, currency: str, language: Language) -> None:
        self._unit = unit
        self._currency = currency
        self._word = partial(word, language=language)

    def add(self, order: ET.Element, number: int, line: PurchaseLine) -> None:
        """Add a line to an order; `number` is its identifier."""
        element = part(part(order, "OrderLine"), "LineItem")
        say(element, "ID", str(number))
        if line.made_for:
            marks = ", ".join(line.made_for)
            say(element, "Note", self._word("order.made-for", marks=marks))
        unit = _unit_of(line)
        say_quantity(element, "Quantity", line.quantity, unit)
        say_amount(element, "LineExtensionAmount", line.amount, self._currency)
        price = part(element, "Price")
        say_amount(price, "PriceAmount", line.unit_price, self._currency)
        say_quantity(price, "BaseQuantity", 1, unit)
        self._add_item(part(element, "Item"), line)

    def _add_item(self, item: ET.Element, line: PurchaseLine) -> None:
        length = partial(format_length, unit=self._unit)
        say(item, "Description", capital(describe_purchase(line, length)))
        if line.bars_per_unit > 1:
            say(item, "PackSizeNumeric", str(line.bars_per_unit))
        say(item, "Name", self._name(line))
        say(part(item, "SellersItemIdentification"), "ID", line.sku)
        self._add_properties(item, line)

    def _name(self, line: PurchaseLine) -> str:
        material = str(line.material or "")
        match line.kind:
            case PurchaseKind.STOCK_LENGTH:
                kind = "bundle" if line.bars_per_unit > 1 else "stock-length"
            case PurchaseKind.KIT:
                kind = "kit" if line.packs_per_kit is None else "kit-with-fasteners"
            case PurchaseKind.STANDARD_KIT:
                kind = "standard-kit"
            case PurchaseKind.FASTENER_PACK:
                return self._word("order.pack", fasteners=plural(line.fastener or ""))
        return self._word(f"order.{kind}", material=material)

    def _add_properties(self, item: ET.Element, line: PurchaseLine) -> None:
        if line.material is not None:
            self._add_text(item, "product", line.material.product)
            self._add_text(item, "finish", line.material.finish)
        if line.length_nm is not None:
            self._add_length(item, self._word("order.property.length"), line.length_nm)
        if line.bars_per_unit > 1:
            self._add_count(item, self._word("order.property.bars"), line.bars_per_unit)
        for number, (length_nm, count) in enumerate(line.lengths, 1):
            of_length = self._word("order.property.piece-length", number=str(number))
            self._add_length(item, of_length, length_nm)
            of_count = self._word("order.property.piece-count", number=str(number))
            self._add_count(item, of_count, count)
        if line.fastener is not None and line.packs_per_kit != 0:
            self._add_text(item, "fastener", line.fastener)
        if line.packs_per_kit is not None:
            name = self._word("order.property.packs")
            self._add_count(item, name, line.packs_per_kit, UnitCode.PACK)

    def _add_text(self, item: ET.Element, name: str, text: str) -> None:
        element = part(item, "AdditionalItemProperty")
        say(element, "Name", self._word(f"order.property.{name}"))
        say(element, "Value", text)

    def _add_length(self, item: ET.Element, name: str, length_nm: int) -> None:
        element = part(item, "AdditionalItemProperty")
        say(element, "Name", name)
        say(element, "Value", format_length(length_nm, self._unit))
        say_length(element, "ValueQuantity", length_nm, self._unit)

    def _add_count(
        self, item: ET.Element, name: str, count: int, unit: UnitCode = UnitCode.PIECE
    ) -> None:
        element = part(item, "AdditionalItemProperty")
        say(element, "Name", name)
        say(element, "Value", str(count))
        say_quantity(element, "ValueQuantity", count, unit)


def _unit_of(line: PurchaseLine) -> UnitCode:
    match line.kind:
        case PurchaseKind.KIT | PurchaseKind.STANDARD_KIT:
            return UnitCode.SET
        case PurchaseKind.FASTENER_PACK:
            return UnitCode.PACK
        case PurchaseKind.STOCK_LENGTH:
            return UnitCode.PACK if line.bars_per_unit > 1 else UnitCode.PIECE
