"""Purchase orders as OASIS UBL 2.1, against the published schema. The examples are invented.

Units: UN/ECE Recommendation 20, revision 11: H87 piece, SET set, NMP number of packs, INH inch,
MMT millimetre. Charges: UNTDID 7161: FC freight service, SH special handling.
"""

import json
import time
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

from optimiser.domain.difference import ALREADY_BOUGHT
from optimiser.domain.plan import Plan
from optimiser.domain.purchase_order import Ordering, Party, PartyId, SupplierTerms
from optimiser.planning import make_plan
from optimiser.publishing.ubl import write_purchase_orders
from optimiser.units.lengths import LengthUnit
from service.mapping.reading import read_order
from service.wire.order import Order
from tests.ubl import hold_it_adds_up, read_ubl

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
ORDERING = Ordering(
    order_id="HR-7", issue_date=date(2027, 3, 1), buyer=Party(name="Harbour Row Hotel")
)


@cache
def plan_of(name: str) -> Plan:
    stated = json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    stated["policy"] = {**stated.get("policy", {}), "alternatives": False}
    order = read_order(json.dumps(stated).encode(), Order)
    return make_plan(order, clock=time.monotonic)


def test_ten_doors_are_ordered_as_two_kits_by_the_set() -> None:
    (order,) = write_purchase_orders(plan_of("ten-doors"), ORDERING)
    read = read_ubl(order.xml)
    assert (order.order_id, order.file_name, order.lines) == ("HR-7", "HR-7.xml", 2)
    assert order.payable == Decimal("459.70")
    hold_it_adds_up(read, Decimal("459.70"))
    lines = [
        (
            line.text("cac:Item/cac:SellersItemIdentification/cbc:ID"),
            line.text("cbc:Quantity"),
            line.text("cbc:LineExtensionAmount"),
        )
        for line in read.lines
    ]
    # 6 × 42.13 and 4 × 51.73, as the README has it.
    assert lines == [("LK-Z", "6", "252.78"), ("LK-Z-N", "4", "206.92")]
    assert set(read.attributes("//cbc:Quantity/@unitCode")) == {"SET"}
    assert set(read.attributes("//@currencyID")) == {"USD"}
    assert not read.texts("cac:AllowanceCharge/cbc:Amount")


def test_five_doors_are_ordered_of_two_suppliers_with_freight() -> None:
    plan = plan_of("five-doors")
    first, second = write_purchase_orders(plan, ORDERING)
    assert [(o.order_id, o.payable) for o in (first, second)] == [
        ("HR-7-1", Decimal("68.00")),
        ("HR-7-2", Decimal("127.19")),
    ]
    assert first.payable + second.payable == plan.payable
    for order in (first, second):
        hold_it_adds_up(read_ubl(order.xml), order.payable)
    # 6 × 2.25 + 39.00 = 52.50; below 20 lb 9.50 of freight; 84 in is above 80 in, 6.00.
    charged = read_ubl(first.xml)
    assert charged.texts("cac:AllowanceCharge/cbc:Amount") == ["9.50", "6.00"]
    assert charged.texts("cac:AllowanceCharge/cbc:AllowanceChargeReasonCode") == ["FC", "SH"]
    assert charged.attributes("//cac:LineItem/cbc:Quantity/@unitCode") == ["NMP", "SET"]


def test_what_is_weighed_and_not_paid_stands_in_no_order() -> None:
    plan = plan_of("five-doors")
    assert plan.total != plan.payable
    orders = write_purchase_orders(plan, ORDERING)
    assert sum(order.payable for order in orders) == plan.payable


def test_a_bundle_says_how_many_bars_it_holds_and_how_long_they_are() -> None:
    _, order = write_purchase_orders(plan_of("five-doors"), ORDERING)
    bundle, kit = read_ubl(order.xml).lines
    assert bundle.attributes("cbc:Quantity/@unitCode") == ["NMP"]
    assert bundle.text("cac:Item/cbc:PackSizeNumeric") == "3"
    measured = "cac:Item/cac:AdditionalItemProperty[cbc:Name='Length']/cbc:ValueQuantity"
    assert (bundle.text(measured), bundle.attributes(f"{measured}/@unitCode")) == ("96", ["INH"])
    assert kit.text("cbc:Note") == "Made for D-25."
    pieces = kit.texts("cac:Item/cac:AdditionalItemProperty/cbc:ValueQuantity")
    assert pieces == ["79", "3", "34", "2"]


def test_a_bar_is_a_piece_and_a_length_that_no_inch_holds_is_in_millimetres() -> None:
    plan = plan_of("five-doors")
    bundle = next(line for line in plan.purchases if line.sku == "TC-Z-096")
    bar = replace(bundle, bars_per_unit=1, length_nm=2_000_000_000)
    shipment = replace(plan.shipments[1], goods=bar.amount)
    plan = replace(plan, purchases=(bar,), shipments=(shipment,))
    (order,) = write_purchase_orders(plan, ORDERING)
    (line,) = read_ubl(order.xml).lines
    assert line.attributes("cbc:Quantity/@unitCode") == ["H87"]
    length = "cac:Item/cac:AdditionalItemProperty/cbc:ValueQuantity"
    # 2 m are 10,000/127 in, which no decimal ends.
    assert (line.text(length), line.attributes(f"{length}/@unitCode")) == ("2000", ["MMT"])
    (metric,) = write_purchase_orders(replace(plan, unit=LengthUnit.MILLIMETRE), ORDERING)
    assert read_ubl(metric.xml).texts(f"//{length}") == ["2000"]


def test_what_a_supplier_is_called_and_noted_stands_in_its_order_alone() -> None:
    terms = SupplierTerms(
        supplier="Larkmoor Trade Counter",
        order_id="TC/9",
        party=Party(name="Larkmoor Trade Counter, Desk <2>", ids=(PartyId(id="5", scheme="0088"),)),
        notes=("Cut & tied",),
    )
    first, second = write_purchase_orders(
        plan_of("five-doors"), replace(ORDERING, suppliers=(terms,), notes=("Ring first",))
    )
    assert [order.file_name for order in (first, second)] == ["HR-7-1.xml", "TC-9.xml"]
    assert read_ubl(first.xml).texts("cbc:Note") == ["Ring first"]
    read = read_ubl(second.xml)
    assert read.texts("cbc:Note") == ["Ring first", "Cut & tied"]
    party = "cac:SellerSupplierParty/cac:Party"
    assert read.text(f"{party}/cac:PartyName/cbc:Name") == "Larkmoor Trade Counter, Desk <2>"
    assert read.attributes(f"{party}/cac:PartyIdentification/cbc:ID/@schemeID") == ["0088"]


def test_what_is_bought_already_is_ordered_of_nobody() -> None:
    plan = plan_of("ten-doors")
    (shipment,) = plan.shipments
    held = replace(shipment, supplier=ALREADY_BOUGHT)
    lines = tuple(replace(line, supplier=ALREADY_BOUGHT) for line in plan.purchases)
    assert write_purchase_orders(replace(plan, shipments=(held,), purchases=lines), ORDERING) == ()


def test_free_freight_is_stated_as_a_charge_of_nothing() -> None:
    plan = plan_of("five-doors")
    free = replace(plan.shipments[1], charge=Decimal(0), free=True, free_from=Decimal("100"))
    plan = replace(plan, shipments=(plan.shipments[0], free))
    _, order = write_purchase_orders(plan, ORDERING)
    read = read_ubl(order.xml)
    hold_it_adds_up(read, Decimal("122.19"))
    reason = read.text("cac:AllowanceCharge/cbc:AllowanceChargeReason")
    assert reason == "Freight, free from USD 100.00 of goods on"


def test_files_of_identifiers_that_differ_in_signs_alone_have_different_names() -> None:
    terms = tuple(
        SupplierTerms(supplier=shipment.supplier, order_id=order_id)
        for shipment, order_id in zip(plan_of("five-doors").shipments, ("a/1", "A:1"), strict=True)
    )
    orders = write_purchase_orders(plan_of("five-doors"), replace(ORDERING, suppliers=terms))
    assert [order.file_name for order in orders] == ["a-1.xml", "A-1_2.xml"]


@pytest.mark.parametrize("text", ["tab\there", "bell\x07", "line\nbreak", "half \ud800 pair"])
def test_a_text_that_xml_cannot_hold_is_written_with_spaces(text: str) -> None:
    (order,) = write_purchase_orders(plan_of("ten-doors"), replace(ORDERING, notes=(text,)))
    (note,) = read_ubl(order.xml).texts("cbc:Note")
    assert len(note) == len(text) and note.isprintable()
