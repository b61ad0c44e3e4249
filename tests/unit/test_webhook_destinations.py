"""Where webhooks may lead: URLs and the addresses of their hosts."""

import asyncio
import socket
from collections.abc import Sequence
from typing import Any

import pytest

from service.webhooks.destinations import Destination, Destinations, UnfitUrl, is_public

PUBLIC = "93.184.215.14"
"""An address at the internet at large; nothing is sent to it here."""


def find(url: str, *addresses: str, private: bool = False) -> Destination:
    async def resolve(host: str, port: int) -> Sequence[str]:
        return addresses

    return asyncio.run(Destinations(private=private, resolve=resolve).find(url))


def codes_of(url: str, *addresses: str, private: bool = False) -> list[str]:
    with pytest.raises(UnfitUrl) as refused:
        find(url, *addresses, private=private)
    assert {fault.path for fault in refused.value.faults} == {("url",)}
    return [fault.code for fault in refused.value.faults]


@pytest.mark.parametrize(
    "address",
    [
        "127.0.0.1",
        "127.8.8.8",
        "10.0.0.1",
        "172.16.0.1",
        "192.168.1.1",
        "169.254.169.254",
        "100.64.0.1",
        "0.0.0.0",
        "192.0.2.1",
        "224.0.0.1",
        "239.1.1.1",
        "240.0.0.1",
        "255.255.255.255",
        "::",
        "::1",
        "fc00::1",
        "fe80::1",
        "fe80::1%eth0",
        "fec0::1",
        "ff02::1",
        "ff0e::1",
        "2001:db8::1",
        "::ffff:10.0.0.1",
        "::ffff:127.0.0.1",
        "::10.0.0.1",
        "64:ff9b::10.0.0.1",
        "64:ff9b:1::1",
        "2002:0a00:0001::1",
        "no address",
    ],
)
def test_addresses_that_are_not_of_the_internet_at_large(address: str) -> None:
    assert not is_public(address)
    # One such address is enough, beside a public one, and under whatever name.
    name = "https://hooks.harbour-row.example/"
    assert codes_of(name, PUBLIC, address) == ["private-address"]


@pytest.mark.parametrize(
    "address",
    [
        PUBLIC,
        "2606:2800:21f:cb07::1",
        f"::ffff:{PUBLIC}",
        f"64:ff9b::{PUBLIC}",
        "2002:5db8:d70e::1",
    ],
)
def test_addresses_of_the_internet_at_large(address: str) -> None:
    assert is_public(address)
    assert find("https://hooks.harbour-row.example/", address).addresses == (address,)


@pytest.mark.parametrize(
    "url",
    [
        "https://127.0.0.1/",
        "https://127.1/",
        "https://0x7f000001/",
        "https://2130706433/",
        "https://0177.0.0.1/",
        "https://10.0.0.1/",
        "https://169.254.169.254/latest",
        "https://[::1]/",
        "https://[::ffff:10.0.0.1]/",
        "https://[::ffff:a9fe:a9fe]/",
    ],
)
def test_addresses_are_refused_however_they_are_written(url: str) -> None:
    with pytest.raises(UnfitUrl) as refused:
        asyncio.run(Destinations(private=False).find(url))
    # What is not read as an address is no host's name either.
    codes = {"private-address", "unknown-host", "unreadable-url"}
    assert refused.value.faults[0].code in codes


def test_a_name_that_leads_to_a_private_address_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[Any] = []

    def look_up(host: str, port: int, **_: Any) -> list[Any]:
        asked.append((host, port))
        family = socket.AF_INET
        return [(family, socket.SOCK_STREAM, 6, "", (address, port)) for address in addresses]

    monkeypatch.setattr(socket, "getaddrinfo", look_up)
    addresses = [PUBLIC, "10.0.0.1"]
    with pytest.raises(UnfitUrl, match="leads to an address that is not public") as refused:
        asyncio.run(Destinations(private=False).find("https://inside.harbour-row.example:8443/x"))
    # The name server of the inside is not told of.
    assert "10.0.0.1" not in str(refused.value)
    assert asked == [("inside.harbour-row.example", 8443)]
    addresses = [PUBLIC, PUBLIC]
    found = asyncio.run(Destinations(private=False).find("https://hooks.harbour-row.example/x"))
    assert found.addresses == (PUBLIC,)


@pytest.mark.parametrize(
    ("url", "codes"),
    [
        ("http://hooks.harbour-row.example/", ["not-https"]),
        ("https://ada:pw@hooks.harbour-row.example/", ["credentials-in-url"]),
        ("https://ada@hooks.harbour-row.example/", ["credentials-in-url"]),
        (
            "http://ada:pw@hooks.harbour-row.example:25/",
            ["not-https", "credentials-in-url", "port-not-allowed"],
        ),
        ("https://hooks.harbour-row.example:22/", ["port-not-allowed"]),
        ("https://hooks.harbour-row.example:0/", ["port-not-allowed"]),
        ("https://hooks.harbour-row.example:99999/", ["port-not-allowed"]),
        ("https:///x", ["unreadable-url"]),
        ("ftp://hooks.harbour-row.example/", ["unreadable-url"]),
        ("hooks", ["unreadable-url"]),
        ("https://[::1/", ["unreadable-url"]),
        ("https://a:b:c/", ["unreadable-url"]),
    ],
)
def test_urls_of_another_form_are_refused(url: str, codes: list[str]) -> None:
    assert codes_of(url, PUBLIC) == codes


def test_a_host_that_cannot_be_found_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    async def fail(host: str, port: int) -> Sequence[str]:
        raise socket.gaierror(-2, "Name or service not known")

    async def hang(host: str, port: int) -> Sequence[str]:
        await asyncio.sleep(60)
        return (PUBLIC,)

    monkeypatch.setattr("service.webhooks.destinations.RESOLVE_SECONDS", 0.05)
    for resolve in (fail, hang):
        with pytest.raises(UnfitUrl, match=r"host 'nowhere\.harbour-row\.example' cannot be found"):
            destinations = Destinations(private=False, resolve=resolve)
            asyncio.run(destinations.find("https://nowhere.harbour-row.example/?token=sesame"))


def test_the_setting_allows_http_and_private_addresses_and_nothing_more() -> None:
    assert find("http://10.0.0.1:8080/hook", "10.0.0.1", private=True).addresses == ("10.0.0.1",)
    url = "http://ada:pw@inside.harbour-row.example:22/"
    assert codes_of(url, "10.0.0.1", private=True) == ["credentials-in-url", "port-not-allowed"]
