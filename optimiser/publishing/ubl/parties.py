"""Who buys, who sells, and where the goods go: the parties and addresses of a UBL order.

What is blank is left out.
"""

from xml.etree import ElementTree as ET

from optimiser.domain.purchase_order import Contact, Party, PostalAddress, RequestedDelivery
from optimiser.publishing.ubl.elements import part, say


def add_party(parent: ET.Element, party: Party) -> None:
    """Add a party."""
    element = part(parent, "Party")
    for identifier in (held for held in party.ids if held.id.strip()):
        scheme = {"schemeID": identifier.scheme} if identifier.scheme else {}
        say(part(element, "PartyIdentification"), "ID", identifier.id, **scheme)
    say(part(element, "PartyName"), "Name", party.name)
    if party.address is not None:
        _add_address(part(element, "PostalAddress"), party.address)
    say(part(element, "PartyLegalEntity"), "RegistrationName", party.name)
    if party.contact is not None:
        _add_contact(part(element, "Contact"), party.contact)


def add_delivery(parent: ET.Element, delivery: RequestedDelivery) -> None:
    """Add when and where goods are wanted; nothing where all of it is left open."""
    if delivery == RequestedDelivery():
        return
    element = part(parent, "Delivery")
    if delivery.address is not None:
        _add_address(part(part(element, "DeliveryLocation"), "Address"), delivery.address)
    if delivery.earliest is not None or delivery.latest is not None:
        period = part(element, "RequestedDeliveryPeriod")
        for name, day in (("StartDate", delivery.earliest), ("EndDate", delivery.latest)):
            say(period, name, day.isoformat() if day else "")


def _add_address(element: ET.Element, address: PostalAddress) -> None:
    """Add an address; the first two lines are the street's, what is over follows line by line."""
    lines = [line for line in address.lines if line.strip()]
    for name, line in zip(("StreetName", "AdditionalStreetName"), lines, strict=False):
        say(element, name, line)
    say(element, "CityName", address.city)
    say(element, "PostalZone", address.postal_code)
    say(element, "CountrySubentity", address.region)
    for line in lines[2:]:
        say(part(element, "AddressLine"), "Line", line)
    if address.country:
        say(
            part(element, "Country"),
            "IdentificationCode",
            address.country,
            listID="ISO3166-1:Alpha2",
        )


def _add_contact(element: ET.Element, contact: Contact) -> None:
    say(element, "Name", contact.name)
    say(element, "Telephone", contact.telephone)
    say(element, "ElectronicMail", contact.email)
