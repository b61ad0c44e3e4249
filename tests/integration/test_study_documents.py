"""The document of a study, over HTTP and by the command. Orders and prices are invented."""

import json
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.command_line import main
from tests.pages import faults_of, read_page

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
STUDY = (EXAMPLES / "ten-doors-study.json").read_bytes()
QUESTIONS = (EXAMPLES / "ten-doors-questions.json").read_bytes()


def send(
    client: httpx.Client, body: bytes, accept: str = "text/html", query: str = ""
) -> httpx.Response:
    headers = {"content-type": "application/json", "accept": accept}
    return client.post(f"/v1/documents/study{query}", content=body, headers=headers)


def test_a_study_comes_as_a_page_and_as_text(client: httpx.Client) -> None:
    page = send(client, STUDY, query="?locale=en-GB")
    assert page.status_code == 200, page.text
    assert page.headers["content-disposition"] == 'inline; filename="study.html"'
    assert page.headers["content-language"] == "en-GB"
    assert faults_of(read_page(page.content)) == []
    text = " ".join(send(client, STUDY, "text/plain").text.split())
    assert text.startswith("What if Harbour Row hotel, first floor")
    assert "Up to $2.40 one decision, from $2.41 another: LK-Z 10 → 6" in text


def test_costs_of_the_document_are_those_of_the_study(client: httpx.Client) -> None:
    headers = {"content-type": "application/json"}
    study: dict[str, Any] = client.post("/v1/studies", content=STUDY, headers=headers).json()
    page = read_page(send(client, STUDY).content)
    (cases,) = [t for t in page.all("table") if any(c.text == "Proof" for c in t.all("th"))]
    shown = [row.all("td", "th")[1].text for row in cases.all("tbody")[0].all("tr")]
    rows = [study["base"], *study["rows"]]
    assert shown == [
        row["cost"]["amount"] if isinstance(row["cost"], dict) else row["cost"] for row in rows
    ]


def test_answers_to_questions_stand_in_the_document(client: httpx.Client) -> None:
    text = " ".join(send(client, QUESTIONS, "text/plain").text.split())
    assert (
        "Of every 1 1/2 in, every 2 in, every 3 in, every 6 in the cheapest is: every 6 in." in text
    )
    # 459.70 + 47.83 = 507.53, which is what both together cost.
    assert "Both orders together cost what they cost one by one." in text


def test_the_base_s_faults_are_told_at_their_places(client: httpx.Client) -> None:
    study = json.loads(STUDY)
    study["order"]["openings"][0]["size"]["width"] = "wide"
    refused = send(client, json.dumps(study).encode())
    assert refused.status_code == 422
    assert [fault["pointer"] for fault in refused.json()["faults"]] == [
        "/order/openings/0/size/width"
    ]


def test_the_command_writes_the_document(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "study.json"
    file.write_bytes(STUDY)
    written = tmp_path / "study.html"
    assert main(["document", "study", str(file), "--to", str(written)]) == 0
    assert faults_of(read_page(written.read_bytes())) == []
    rules = EXAMPLES / "harbour-row-strip.toml"
    assert main(["document", "study", str(file), "--rule-sets", str(rules)]) == 2
    assert "A study has its rule sets in its order" in capsys.readouterr().err
