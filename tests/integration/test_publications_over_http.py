"""Documents that people read, over HTTP and by the command. Orders and prices are invented."""

import json
import sys
from decimal import Decimal
from pathlib import Path

import httpx
import pytest

from optimiser.publishing.builders import DOCUMENTS_OF_PLANS
from service.command_line import main
from tests.harbour_row import ten_doors
from tests.pages import faults_of, read_page
from tests.store.test_jobs import LATER, wait_for

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
MIXED = (EXAMPLES / "mixed-openings.json").read_bytes()
TEN = json.dumps(ten_doors()).encode()


def send(
    client: httpx.Client, body: bytes, document: str, accept: str = "text/html", query: str = ""
) -> httpx.Response:
    headers = {"content-type": "application/json", "accept": accept}
    return client.post(f"/v1/documents/{document}{query}", content=body, headers=headers)


@pytest.mark.parametrize("document", list(DOCUMENTS_OF_PLANS))
def test_every_document_comes_as_a_page_and_as_text(client: httpx.Client, document: str) -> None:
    page = send(client, MIXED, document)
    assert page.status_code == 200, page.text
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    assert page.headers["vary"] == "Accept"
    assert page.headers["content-language"] == "en-US"
    assert page.headers["content-disposition"] == f'inline; filename="{document}.html"'
    assert "default-src 'none'" in page.headers["content-security-policy"]
    assert faults_of(read_page(page.content)) == []
    text = send(client, MIXED, document, "text/plain")
    assert text.headers["content-type"] == "text/plain; charset=utf-8"
    assert text.text.startswith(read_page(page.content).all("h1")[0].text + "\n")


def test_sums_of_the_purchase_list_are_those_of_the_plan(client: httpx.Client) -> None:
    headers = {"content-type": "application/json"}
    plan = client.post("/v1/plans", content=MIXED, headers=headers).json()
    page = read_page(send(client, MIXED, "purchase-list").content)
    (paid,) = [t for t in page.all("table") if "Total to pay" in t.text]
    shown = paid.all("td")[-1].text
    assert Decimal(shown.replace(",", "")) == Decimal(plan["payable"])
    bought = [t for t in page.all("table") if any(c.text == "SKU" for c in t.all("th"))]
    rows = [row for table in bought for row in table.all("tbody")[0].all("tr")]
    amounts = [Decimal(row.all("td")[-1].text.replace(",", "")) for row in rows]
    assert amounts == [Decimal(line["amount"]) for line in plan["purchases"]]


def test_language_units_and_paper_are_the_readers(client: httpx.Client) -> None:
    query = "?locale=en-GB&lengths=both&paper=letter"
    page = read_page(send(client, TEN, "install-sheets", query=query).content)
    assert page.all("html")[0].attributes["lang"] == "en-GB"
    assert "80 in (2032 mm)" in page.text
    assert "size: letter" in page.all("style")[0].text
    usual = read_page(send(client, TEN, "install-sheets", query="?locale=en-GB").content)
    assert "2032 mm" not in usual.text
    assert "size: A4" in usual.all("style")[0].text


def test_what_cannot_be_asked_for_is_refused(client: httpx.Client) -> None:
    unknown = send(client, TEN, "invoice")
    assert (unknown.status_code, unknown.json()["code"]) == (404, "not-found")
    assert "purchase-list, why-this-plan" in unknown.json()["detail"]
    form = send(client, TEN, "labels", "image/png")
    assert (form.status_code, form.json()["code"]) == (406, "not-acceptable")
    query = send(client, TEN, "labels", query="?locale=fr-FR&paper=a5&colour=blue")
    assert (query.status_code, query.json()["code"]) == (422, "invalid-query")
    assert sorted((f["pointer"], f["code"]) for f in query.json()["faults"]) == [
        ("/colour", "unknown-parameter"),
        ("/locale", "not-one-of"),
        ("/paper", "not-one-of"),
    ]


def test_documents_of_a_kept_plan_are_those_of_its_order(client: httpx.Client) -> None:
    headers = {"content-type": "application/json", **LATER}
    accepted = client.post("/v1/plans", content=MIXED, headers=headers)
    plan = wait_for(client, accepted.headers["location"])["plan"]
    for document in DOCUMENTS_OF_PLANS:
        at_once = send(client, MIXED, document)
        kept = client.get(f"{plan}/documents/{document}", headers={"accept": "text/html"})
        assert kept.status_code == 200, kept.text
        assert kept.content == at_once.content, document
    missing = client.get(f"{plan}x/documents/labels")
    assert (missing.status_code, missing.json()["code"]) == (404, "not-found")


def test_the_command_writes_the_form_of_the_files_ending(
    tmp_path: Path, client: httpx.Client, capsys: pytest.CaptureFixture[str]
) -> None:
    order = tmp_path / "order.json"
    order.write_bytes(TEN)
    page = tmp_path / "buy.html"
    command = ["document", "purchase-list", str(order), "--to", str(page), "--paper", "a4"]
    assert main(command) == 0
    assert page.read_bytes() == send(client, TEN, "purchase-list", query="?paper=a4").content
    assert main(["document", "bench-cut-list", str(order)]) == 0
    assert capsys.readouterr().out.startswith("Bench cut list\n")
    assert main([*command[:4], str(tmp_path / "buy.doc")]) == 2
    assert "buy.doc: purchase-list comes as .html, " in capsys.readouterr().err


XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@pytest.mark.parametrize(
    ("accept", "suffix", "begins"),
    [
        ("application/pdf", "pdf", b"%PDF-1.7"),
        (XLSX, "xlsx", b"PK"),
        ("application/zip", "zip", b"PK"),
        ("text/csv", "csv", "\ufefflist,record,".encode()),
    ],
)
def test_every_form_can_be_asked_for(
    client: httpx.Client, tmp_path: Path, accept: str, suffix: str, begins: bytes
) -> None:
    answer = send(client, TEN, "purchase-list", accept)
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"].partition(";")[0] == accept
    name = f'filename="purchase-list.{suffix}"'
    assert answer.headers["content-disposition"].endswith(name)
    assert answer.content.startswith(begins)
    order, file = tmp_path / "order.json", tmp_path / f"buy.{suffix}"
    order.write_bytes(TEN)
    assert main(["document", "purchase-list", str(order), "--to", str(file)]) == 0
    assert file.read_bytes() == answer.content


def test_a_form_that_is_not_installed_says_what_to_install(
    client: httpx.Client,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    refused = send(client, TEN, "labels", "application/pdf")
    assert (refused.status_code, refused.json()["code"]) == (406, "not-acceptable")
    remedy = "pip install typst"
    assert remedy in refused.json()["detail"]
    page = send(client, TEN, "labels", "application/pdf, text/html;q=0.5")
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    order = tmp_path / "order.json"
    order.write_bytes(TEN)
    assert main(["document", "labels", str(order), "--to", str(tmp_path / "labels.pdf")]) == 2
    assert remedy in capsys.readouterr().err


def test_install_sheets_have_the_cuts_in_the_leaf_where_a_profile_is_sent(
    client: httpx.Client,
) -> None:
    """The sentences are those of `/v1/planned-install-sheets`, which the example shows as text."""
    order = json.loads(TEN)
    fits = json.loads((EXAMPLES / "front-doors.json").read_text(encoding="utf-8"))["fits"]
    order["fits"] = [{**fits[0], "marks": [order["openings"][0]["mark"]]}]
    body = json.dumps(order).encode()
    text = " ".join(send(client, body, "install-sheets", "text/plain").text.split())
    headers = {"content-type": "application/json", "accept": "text/plain"}
    sheets = client.post("/v1/planned-install-sheets", content=body, headers=headers).text
    shown = " ".join(sheets.split())
    for sentence in ("Groove in the hinge stile: ", "Bits at or under its width: "):
        told = sentence + shown.split(sentence)[1].split(". ")[0]
        assert told in text
    assert "How the cuts were worked out" in text
    # The others are read with it, and say nothing of it.
    assert (
        send(client, body, "bench-cut-list").content == send(client, TEN, "bench-cut-list").content
    )
    order["fits"][0]["marks"] = ["X-1"]
    refused = send(client, json.dumps(order).encode(), "install-sheets")
    assert [(f["pointer"], f["code"]) for f in refused.json()["faults"]] == [
        ("/fits/0/marks/0", "unknown-mark")
    ]
