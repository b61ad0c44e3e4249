"""Faults of what purchase orders need beside the plan."""

from collections import Counter
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import Final

from babel import Locale

from optimiser.domain.faults import Fault
from optimiser.domain.purchase_order import Ordering, Party, PostalAddress, RequestedDelivery
from optimiser.units.faults import quote

Path = tuple[str | int, ...]

ORDER_OF_DAYS: Final = frozenset({"before-issue", "ends-before-it-begins"})
"""Codes of the faults that compare two days."""

LONGEST_ORDER_ID: Final = 60
"""Characters of an order's identifier; a number behind it still fits most systems' fields."""

_NO_COUNTRIES: Final = frozenset(
    ["AC", "CP", "CQ", "DG", "EA", "EU", "EZ", "IC", "QO", "TA", "UN", "ZZ"]
)
"""Codes of groups, of the unknown, and of parts of countries, reserved at their wish."""


def find_ordering_faults(ordering: Ordering, suppliers: Iterable[str]) -> tuple[Fault, ...]:
    """Return every fault of it; `suppliers` are those of the order's catalogues, in their order."""
    return tuple(_find(ordering, tuple(dict.fromkeys(suppliers))))


def _find(ordering: Ordering, suppliers: tuple[str, ...]) -> Iterator[Fault]:
    yield from _of_identifier(("order_id",), ordering.order_id)
    yield from _of_party(("buyer",), ordering.buyer)
    yield from _of_delivery(ordering)
    yield from _of_suppliers(ordering, suppliers)


def _of_identifier(path: Path, identifier: str) -> Iterator[Fault]:
    if not identifier.strip():
        yield Fault(
            path, "blank", "order_id is blank; state the identifier that the buyer gives the order."
        )
    elif len(identifier) > LONGEST_ORDER_ID:
        yield Fault(
            path,
            "text-length",
            f"order_id {quote(identifier)} has {len(identifier)} characters; write "
            f"{LONGEST_ORDER_ID} at most.",
        )


def _of_party(path: Path, party: Party) -> Iterator[Fault]:
    whose = ".".join(str(part) for part in path if isinstance(part, str))
    if not party.name.strip():
        yield Fault((*path, "name"), "blank", f"{whose}.name is blank; state who it is.")
    for place, times in Counter(party.ids).items():
        if times > 1:
            shown = quote(place.id)
            yield Fault(
                (*path, "ids"), "repeated-id", f"{whose}.ids holds {shown} twice; name it once."
            )
    if party.address is not None:
        yield from _of_address((*path, "address"), party.address)
    if party.contact is not None and party.contact.email:
        local, _, host = party.contact.email.rpartition("@")
        if not local or "." not in host.strip("."):
            yield Fault(
                (*path, "contact", "email"),
                "not-an-address",
                f"{whose}.contact.email {quote(party.contact.email)} is not an e-mail address; "
                "write one such as orders@harbour-row.example, or leave it out.",
            )


def _of_address(path: Path, address: PostalAddress) -> Iterator[Fault]:
    if address.country and address.country not in _countries():
        yield Fault(
            (*path, "country"),
            "unknown-country",
            f"country {quote(address.country)} is not a code of ISO 3166-1; write two capital "
            "letters, such as US or GB.",
        )


@lru_cache(maxsize=1)
def _countries() -> frozenset[str]:
    """Return the 249 codes of ISO 3166-1, of the Unicode CLDR without what it has beside them."""
    codes = {str(code) for code in Locale("en").territories}
    private = {code for code in codes if code.startswith("X")}
    regions = frozenset(code for code in codes if len(code) == 2 and code.isalpha())
    return regions - private - _NO_COUNTRIES


def _of_delivery(ordering: Ordering) -> Iterator[Fault]:
    delivery = ordering.delivery
    yield from _of_days(ordering, delivery)
    if delivery.address is not None:
        yield from _of_address(("delivery", "address"), delivery.address)


def _of_days(ordering: Ordering, delivery: RequestedDelivery) -> Iterator[Fault]:
    for name, day in (("earliest", delivery.earliest), ("latest", delivery.latest)):
        if day is not None and day < ordering.issue_date:
            yield Fault(
                ("delivery", name),
                "before-issue",
                f"delivery.{name} {day} is before the day of the order, {ordering.issue_date}; "
                "correct one of them.",
            )
    if delivery.earliest and delivery.latest and delivery.latest < delivery.earliest:
        yield Fault(
            ("delivery", "latest"),
            "ends-before-it-begins",
            f"delivery.latest {delivery.latest} is before delivery.earliest {delivery.earliest}; "
            "correct one of them.",
        )


def _of_suppliers(ordering: Ordering, suppliers: tuple[str, ...]) -> Iterator[Fault]:
    seen: set[str] = set()
    for position, terms in enumerate(ordering.suppliers):
        path: Path = ("suppliers", position)
        if terms.supplier not in suppliers:
            known = ", ".join(quote(name) for name in suppliers)
            yield Fault(
                (*path, "supplier"),
                "unknown-supplier",
                f"There is no catalogue of {quote(terms.supplier)}; the suppliers are: {known}.",
            )
        elif terms.supplier in seen:
            yield Fault(
                (*path, "supplier"),
                "repeated-supplier",
                f"{terms.supplier} stands among the suppliers already; name it once.",
            )
        seen.add(terms.supplier)
        if terms.order_id:
            yield from _of_identifier((*path, "order_id"), terms.order_id)
        if terms.party is not None:
            yield from _of_party((*path, "party"), terms.party)
    yield from _of_repeated_identifiers(ordering, suppliers)


def _of_repeated_identifiers(ordering: Ordering, suppliers: tuple[str, ...]) -> Iterator[Fault]:
    """Yield identifiers that two orders would share, whichever suppliers are bought from."""
    if len(suppliers) < 2:
        return
    # A plan may buy from any of them: numbers go up to how many there are.
    numbered = {f"{ordering.order_id}-{number}" for number in range(1, len(suppliers) + 1)}
    stated = {terms.supplier for terms in ordering.suppliers if terms.order_id}
    some_numbered = not stated.issuperset(suppliers)
    seen: dict[str, str] = {}
    for position, terms in enumerate(ordering.suppliers):
        mine = terms.order_id
        if not mine:
            continue
        if (other := seen.get(mine)) is not None and other != terms.supplier:
            yield Fault(
                ("suppliers", position, "order_id"),
                "repeated-order-id",
                f"{quote(mine)} is the identifier of the order to {other}, too; give each its own.",
            )
        elif mine in numbered and some_numbered:
            yield Fault(
                ("suppliers", position, "order_id"),
                "repeated-order-id",
                f"{quote(mine)} may become the identifier of the order to a supplier that states "
                "none; choose another one.",
            )
        seen.setdefault(mine, terms.supplier)
