"""Quotes over HTTP and by the command. Orders, prices and terms are invented."""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.command_line import main
from tests.store.test_jobs import LATER, wait_for

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
PATH = "/v1/quotes"


def shown(name: str) -> str:
    return (EXAMPLES / name).read_text(encoding="utf-8")


def to_quote(**terms: Any) -> dict[str, Any]:
    order: dict[str, Any] = json.loads(shown("harbour-row-quote.json"))
    order["terms"] |= terms
    return order


def test_the_quote_is_the_example_in_both_forms(client: httpx.Client) -> None:
    answer = client.post(PATH, json=to_quote())
    assert answer.status_code == 200, answer.text
    assert "solve;dur=" in answer.headers["server-timing"]
    assert answer.json() == json.loads(shown("harbour-row-quote.quote.json"))
    text = client.post(PATH, json=to_quote(), headers={"accept": "text/plain"}).text
    assert text == shown("harbour-row-quote.quote.txt")


def test_text_for_the_customer_holds_nothing_of_the_inside() -> None:
    inside = json.loads(shown("harbour-row-quote.quote.json"))["inside"]
    text = shown("harbour-row-quote.quote.txt")
    hidden = [line[name] for line in inside["lines"] for name in ("cost", "added")]
    hidden += [inside["cost"], inside["earned"], "Larkmoor", "LS-Z", "LK-Z", "LN-01", "margin"]
    hidden += [opening["cost"] for opening in inside["openings"]]
    assert not [word for word in hidden if word in text]
    assert inside["earned"] in shown("harbour-row-quote.quote-inside.txt")


def test_sums_of_the_answer_are_exact(client: httpx.Client) -> None:
    quote = client.post(PATH, json=to_quote(rounding={"rule": "up", "step": "5.00"})).json()
    customer, inside = quote["customer"], quote["inside"]

    def add(entries: list[dict[str, str]], name: str) -> Decimal:
        return sum((Decimal(entry[name]) for entry in entries), Decimal(0))

    assert add(customer["openings"], "price") == Decimal(customer["list_price"])
    assert add(inside["lines"], "net") == Decimal(customer["net_price"])
    assert Decimal(customer["net_price"]) % 5 == 0
    assert add(inside["openings"], "cost") == add(inside["lines"], "cost")
    taxed = Decimal(customer["net_price"]) + add(customer["taxes"], "amount")
    assert taxed == Decimal(customer["total"])
    plan = client.post("/v1/plans", json={k: v for k, v in to_quote().items() if k != "terms"})
    assert plan.json()["total"] == inside["plan_total"]


def test_faults_of_order_and_terms_are_told_together(client: httpx.Client) -> None:
    order = to_quote(valid_until="2027-02-01", addition={"basis": "margin", "percent": 100})
    order["openings"][1]["mark"] = "D-01"
    answer = client.post(PATH, json=order)
    assert answer.status_code == 422
    assert [(fault["pointer"], fault["code"]) for fault in answer.json()["faults"]] == [
        ("/openings/1/mark", "duplicate-mark"),
        ("/terms/valid_until", "validity-before-issue"),
        ("/terms/addition/percent", "margin-not-below-100"),
    ]


def test_faults_of_form_leave_those_of_the_terms_told(client: httpx.Client) -> None:
    order = to_quote(deposits=[{"due": "2027-02-30", "percent": 10}])
    order["openings"][0]["quantity"] = 0
    faults = client.post(PATH, json=order).json()["faults"]
    assert [(fault["pointer"], fault["code"]) for fault in faults] == [
        ("/openings/0/quantity", "out-of-range"),
        ("/terms/deposits/0/due", "no-such-day"),
    ]
    order["terms"]["addition"] = {"basis": "margin", "percent": 100}
    faults = client.post(PATH, json=order).json()["faults"]
    assert [(fault["pointer"], fault["code"]) for fault in faults[1:]] == [
        ("/terms/deposits/0/due", "no-such-day"),
        ("/terms/addition/percent", "margin-not-below-100"),
    ]
    order["terms"]["issued"] = "0000-01-01"
    faults = client.post(PATH, json=order).json()["faults"]
    assert [fault["code"] for fault in faults[1:3]] == ["no-such-day", "no-such-day"]
    del order["terms"]
    faults = client.post(PATH, json=order).json()["faults"]
    assert [fault["pointer"] for fault in faults] == ["/openings/0/quantity", "/terms"]


def test_what_only_the_price_decides_is_told_by_its_place(client: httpx.Client) -> None:
    discount = {"name": "Too much", "amount": "5000.00"}
    answer = client.post(PATH, json=to_quote(discounts=[discount]))
    assert answer.status_code == 422
    (fault,) = answer.json()["faults"]
    assert (fault["pointer"], fault["code"]) == ("/terms/discounts", "discounts-over-price")
    assert fault["message"] == (
        "The discounts come to USD 5,000.00, and the price that they are taken from is "
        "USD 1,888.05; lower them."
    )


def test_the_command_writes_each_part(tmp_path: Path) -> None:
    written = tmp_path / "quote.txt"
    order = str(EXAMPLES / "harbour-row-quote.json")
    assert main(["quote", order, "-o", str(written)]) == 0
    assert written.read_text(encoding="utf-8") == shown("harbour-row-quote.quote.txt")
    assert main(["quote", order, "--inside", "-o", str(written)]) == 0
    assert written.read_text(encoding="utf-8") == shown("harbour-row-quote.quote-inside.txt")


def test_the_command_takes_terms_from_a_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    terms, written = tmp_path / "terms.json", tmp_path / "quote.json"
    terms.write_text(json.dumps({"issued": "2027-03-01", "valid_until": "2027-03-31"}))
    order = str(EXAMPLES / "ten-doors.json")
    assert main(["quote", order, "--terms", str(terms), "--json", "-o", str(written)]) == 0
    assert json.loads(written.read_text())["customer"]["total"] == "459.70"
    terms.write_text(json.dumps({"issued": "2027-03-01", "valid_until": "2027-02-28"}))
    assert main(["quote", order, "--terms", str(terms)]) == 3
    assert capsys.readouterr().err == (
        "/terms/valid_until: The quote is valid until 2027-02-28, before the day of issue, "
        "2027-03-01; give that day or a later one.\n"
    )


def requoted(change: Any) -> dict[str, Any]:
    return to_quote() | {"change": change}


DIFFERENCES = "/v1/quote-differences"


def test_the_difference_is_the_example_in_both_forms(client: httpx.Client) -> None:
    order = json.loads(shown("harbour-row-requote.json"))
    answer = client.post(DIFFERENCES, json=order)
    assert answer.status_code == 200, answer.text
    assert answer.json() == json.loads(shown("harbour-row-requote.difference.json"))
    text = client.post(DIFFERENCES, json=order, headers={"accept": "text/plain"}).text
    assert text == shown("harbour-row-requote.difference.txt")


def test_the_difference_is_between_the_quotes_of_both_orders(client: httpx.Client) -> None:
    change = {"policy": {"fastener_spacing": "2 in"}, "reference": None}
    compared = client.post(DIFFERENCES, json=requoted(change)).json()
    before = client.post(PATH, json=to_quote()).json()
    order = to_quote()
    order["policy"]["fastener_spacing"] = "2 in"
    del order["reference"]
    after = client.post(PATH, json=order).json()
    assert compared["quote"] == after
    total = compared["customer"]["total"]
    assert (total["before"], total["after"]) == (
        before["customer"]["total"],
        after["customer"]["total"],
    )
    assert Decimal(total["difference"]) == Decimal(total["after"]) - Decimal(total["before"])
    assert compared["customer"]["reference"] == ""


def test_faults_of_the_change_are_told_at_their_places(client: httpx.Client) -> None:
    order = requoted({"openings": [{"mark": "D-01"}], "terms": {"number": "2"}})
    order["terms"]["addition"] = {"basis": "margin", "percent": 100}
    answer = client.post(DIFFERENCES, json=order)
    assert answer.status_code == 422
    assert [(fault["pointer"], fault["code"]) for fault in answer.json()["faults"]] == [
        ("/change/terms", "terms-changed"),
        ("/terms/addition/percent", "margin-not-below-100"),
        ("/change/openings/0/kind", "missing"),
        ("/change/openings/0/size", "missing"),
        ("/change/openings/0/finish", "missing"),
    ]


@pytest.mark.parametrize(
    ("change", "pointer", "code"),
    [
        ([], "/change", "wrong-type"),
        ({"openings": None}, "/change/openings", "missing"),
        ({"opening": []}, "/change/opening", "unknown-member"),
    ],
)
def test_a_change_that_cannot_be_is_refused(
    client: httpx.Client, change: Any, pointer: str, code: str
) -> None:
    faults = client.post(DIFFERENCES, json=requoted(change)).json()["faults"]
    assert [(fault["pointer"], fault["code"]) for fault in faults] == [(pointer, code)]


def test_a_change_that_nothing_can_serve_is_told_by_its_place(client: httpx.Client) -> None:
    opening = to_quote()["openings"][0] | {"finish": "bronze"}
    answer = client.post(DIFFERENCES, json=requoted({"openings": [opening]}))
    assert (answer.status_code, answer.json()["code"]) == (422, "no-plan")
    assert answer.json()["faults"][0]["pointer"].startswith("/change/openings/0")


def test_the_command_writes_the_difference(tmp_path: Path) -> None:
    written, change = tmp_path / "difference.txt", tmp_path / "change.json"
    order = str(EXAMPLES / "harbour-row-requote.json")
    assert main(["quote-difference", order, "-o", str(written)]) == 0
    assert written.read_text(encoding="utf-8") == shown("harbour-row-requote.difference.txt")
    change.write_text("{}")
    stated = ["quote-difference", str(EXAMPLES / "harbour-row-quote.json"), "--change", str(change)]
    assert main([*stated, "--inside", "-o", str(written)]) == 0
    assert "USD 0.00  together" in written.read_text(encoding="utf-8")


def document(client: httpx.Client, name: str, order: Any, accept: str) -> httpx.Response:
    return client.post(f"/v1/documents/{name}", json=order, headers={"accept": accept})


def test_the_documents_of_a_quote_come_as_the_others_do(client: httpx.Client) -> None:
    quote = document(client, "quote", to_quote(), "text/plain")
    assert quote.status_code == 200, quote.text
    assert quote.text.startswith("Quote HR-0031\n")
    assert "1,895.95" in quote.text
    assert "1,313.52" not in quote.text
    inside = document(client, "quote-inside", to_quote(), "text/html")
    assert inside.headers["content-disposition"] == 'inline; filename="quote-inside.html"'
    assert "1,313.52" in inside.text
    pdf = document(client, "quote", to_quote(), "application/pdf")
    assert pdf.content.startswith(b"%PDF-")


def test_a_quote_without_terms_is_told_and_other_documents_pass_them_over(
    client: httpx.Client,
) -> None:
    order = to_quote()
    bought = document(client, "purchase-list", order, "text/plain")
    assert bought.status_code == 200
    fitted = document(client, "quote", order | {"fits": []}, "text/plain")
    assert fitted.text.startswith("Quote HR-0031\n")
    del order["terms"]
    assert document(client, "purchase-list", order, "text/plain").text == bought.text
    for stated in (order, order | {"terms": None}):
        missing = document(client, "quote", stated, "text/plain")
        assert [(fault["pointer"], fault["code"]) for fault in missing.json()["faults"]] == [
            ("/terms", "no-terms")
        ]


def test_the_command_writes_the_documents(tmp_path: Path, client: httpx.Client) -> None:
    written, order = tmp_path / "inside.html", str(EXAMPLES / "harbour-row-quote.json")
    assert main(["document", "quote-inside", order, "--to", str(written)]) == 0
    answer = document(client, "quote-inside", to_quote(), "text/html")
    assert written.read_bytes() == answer.content


def test_a_kept_plan_is_quoted_without_planning_anew(client: httpx.Client) -> None:
    order = to_quote()
    stated = order.pop("terms")
    accepted = client.post("/v1/plans", json=order, headers=LATER)
    plan = wait_for(client, accepted.headers["location"])["plan"]
    quoted = client.post(f"{plan}/quotes", json=stated)
    assert quoted.status_code == 200, quoted.text
    assert quoted.json() == json.loads(shown("harbour-row-quote.quote.json"))
    text = client.post(f"{plan}/quotes", json=stated, headers={"accept": "text/plain"}).text
    assert text == shown("harbour-row-quote.quote.txt")
    assert stated == json.loads(shown("harbour-row-quote-terms.json"))
    for name in ("quote", "quote-inside"):
        kept = client.post(
            f"{plan}/documents/{name}?locale=en-GB", json=stated, headers={"accept": "text/html"}
        )
        at_once = client.post(
            f"/v1/documents/{name}?locale=en-GB", json=to_quote(), headers={"accept": "text/html"}
        )
        assert kept.content == at_once.content, kept.text
        assert kept.headers["content-disposition"] == f'inline; filename="{name}.html"'
    assert client.post(f"{plan}/documents/labels", json=stated).status_code == 404
    assert client.get(f"{plan}/documents/quote").status_code == 404
    wrong = stated | {
        "valid_until": "2027-02-01",
        "discounts": [{"name": "Both", "percent": 5, "amount": "1.00"}],
    }
    answer = client.post(f"{plan}/quotes", json=wrong)
    assert (answer.status_code, answer.json()["code"]) == (422, "invalid-content")
    assert [(fault["pointer"], fault["code"]) for fault in answer.json()["faults"]] == [
        ("/valid_until", "validity-before-issue"),
        ("/discounts/0", "percent-or-amount"),
    ]
    dear = client.post(
        f"{plan}/quotes", json=stated | {"deposits": [{"due": "2027-03-02", "amount": "9000.00"}]}
    )
    assert [fault["pointer"] for fault in dear.json()["faults"]] == ["/deposits"]
    missing = client.post("/v1/plans/none/quotes", json=stated)
    assert (missing.status_code, missing.json()["code"]) == (404, "not-found")
