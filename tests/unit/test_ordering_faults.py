"""Faults of what purchase orders need beside the plan: all at once, each with its remedy."""

from datetime import date

from optimiser.domain.purchase_order import (
    Contact,
    Ordering,
    Party,
    PartyId,
    PostalAddress,
    RequestedDelivery,
    SupplierTerms,
)
from optimiser.validation.ordering import _countries, find_ordering_faults

SUPPLIERS = ("Larkmoor Strip & Seal", "Larkmoor Trade Counter")


def test_every_fault_is_told_at_once() -> None:
    ordering = Ordering(
        order_id=" ",
        issue_date=date(2027, 3, 1),
        buyer=Party(
            name="",
            ids=(PartyId(id="7"), PartyId(id="7")),
            address=PostalAddress(country="XX"),
            contact=Contact(email="nobody"),
        ),
        delivery=RequestedDelivery(earliest=date(2027, 2, 28), latest=date(2027, 2, 27)),
        suppliers=(
            SupplierTerms(supplier="Elsewhere"),
            SupplierTerms(supplier=SUPPLIERS[0], order_id="x" * 61),
            SupplierTerms(supplier=SUPPLIERS[0]),
        ),
    )
    found = {(fault.path, fault.code) for fault in find_ordering_faults(ordering, SUPPLIERS)}
    assert found == {
        (("order_id",), "blank"),
        (("buyer", "name"), "blank"),
        (("buyer", "ids"), "repeated-id"),
        (("buyer", "address", "country"), "unknown-country"),
        (("buyer", "contact", "email"), "not-an-address"),
        (("delivery", "earliest"), "before-issue"),
        (("delivery", "latest"), "before-issue"),
        (("delivery", "latest"), "ends-before-it-begins"),
        (("suppliers", 0, "supplier"), "unknown-supplier"),
        (("suppliers", 1, "order_id"), "text-length"),
        (("suppliers", 2, "supplier"), "repeated-supplier"),
    }


def test_an_unknown_supplier_is_told_with_those_that_there_are() -> None:
    ordering = Ordering(
        order_id="HR-7",
        issue_date=date(2027, 3, 1),
        buyer=Party(name="Harbour Row Hotel"),
        suppliers=(SupplierTerms(supplier="Elsewhere"),),
    )
    (fault,) = find_ordering_faults(ordering, SUPPLIERS)
    assert fault.message == (
        "There is no catalogue of “Elsewhere”; the suppliers are: “Larkmoor Strip & Seal”, "
        "“Larkmoor Trade Counter”."
    )


def test_two_orders_never_share_an_identifier() -> None:
    def with_ids(*order_ids: str) -> list[str]:
        ordering = Ordering(
            order_id="HR",
            issue_date=date(2027, 3, 1),
            buyer=Party(name="Harbour Row Hotel"),
            suppliers=tuple(
                SupplierTerms(supplier=supplier, order_id=order_id)
                for supplier, order_id in zip(SUPPLIERS, order_ids, strict=False)
            ),
        )
        return [fault.code for fault in find_ordering_faults(ordering, SUPPLIERS)]

    assert with_ids("A", "B") == with_ids("A") == with_ids("HR-2", "HR-1") == []
    assert with_ids("A", "A") == ["repeated-order-id"]
    # The other supplier states none, and its order may be HR-2.
    assert with_ids("HR-2") == with_ids("HR-2", "") == ["repeated-order-id"]


def test_countries_are_the_249_of_iso_3166() -> None:
    assert len(_countries()) == 249
    assert {"US", "GB", "DE"} <= _countries()
    assert not _countries() & {"EU", "UK", "XK", "ZZ"}
