"""Schedules over HTTP and by the command: raw bodies, forms, faults, limits. All invented."""

import json
from pathlib import Path

import httpx
import pytest

from service.command_line import main
from tests.harbour_row import ten_doors
from tests.unit.schedule_files import DOOR, HEADER, csv_bytes, xlsx_bytes

CSV = "text/csv"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
DOOR_FILE = csv_bytes([HEADER, DOOR])


def send(client: httpx.Client, content: bytes, **headers: str) -> httpx.Response:
    stated = {"content-type": CSV} | {name.replace("_", "-"): v for name, v in headers.items()}
    return client.post("/v1/schedules", content=content, headers=stated)


def test_csv_body_becomes_openings_of_the_wire(client: httpx.Client) -> None:
    answer = send(client, DOOR_FILE)
    assert answer.status_code == 200
    read = answer.json()
    assert read["openings"] == [
        {
            "mark": "D-01",
            "kind": "single-door",
            "size": {"width": "36 in", "height": "80 in"},
            "size_of": "opening",
            "lower_height": None,
            "inactive_leaf_width": None,
            "quantity": 2,
            "rule_set": "interlocking-strip",
            "also": [],
            "finish": "zinc",
            "fastener_spacing": None,
            "meeting_stiles": "by-others",
            "threshold": "none",
            "sash_cords": "none",
            "side_strips": "full-height",
            "remarks": "",
        }
    ]
    assert read["described"] == "CSV in UTF-8, delimiter comma"
    assert read["rows"] == [{"row": 2, "marks": ["D-01"]}]
    assert read["skipped"] == [
        {"first": 1, "last": 1, "code": "header", "message": "Row 1 was skipped: the header."}
    ]


def test_openings_of_a_schedule_go_into_an_order_as_they_are(client: httpx.Client) -> None:
    openings = send(client, DOOR_FILE).json()["openings"]
    takeoff = client.post("/v1/takeoffs", json={"unit": "in", "openings": openings})
    assert takeoff.status_code == 200, takeoff.text
    order = ten_doors() | {"openings": openings}
    assert client.post("/v1/plans", json=order).status_code == 200


def test_workbook_and_form_say_the_same_as_csv(client: httpx.Client) -> None:
    workbook = xlsx_bytes([HEADER, ("D-01", 2, "single door", 36, 80, "zinc")])
    wanted = send(client, DOOR_FILE).json()["openings"]
    assert send(client, workbook, content_type=XLSX).json()["openings"] == wanted
    for name, file in (("a.xlsx", workbook), ("a.csv", DOOR_FILE), (None, DOOR_FILE)):
        answer = client.post("/v1/schedules", files={"file": (name, file)})
        assert answer.json()["openings"] == wanted


def test_options_come_in_the_query_or_in_the_form(client: httpx.Client) -> None:
    file = csv_bytes([("No", "W", "H"), ("D-01", "914", "2032")])
    options = json.dumps({"unit": "mm", "defaults": {"kind": "single", "finish": "zinc"}})
    by_query = client.post(
        "/v1/schedules", content=file, params={"options": options}, headers={"content-type": CSV}
    )
    by_form = client.post("/v1/schedules", files={"file": ("a", file)}, data={"options": options})
    assert by_query.json() == by_form.json()
    assert by_query.json()["openings"][0]["size"] == {"width": "914 mm", "height": "2032 mm"}


def test_faults_lead_to_row_and_column(client: httpx.Client) -> None:
    answer = send(client, csv_bytes([HEADER, ("D-01", "x", "barn", "36", "80", "zinc")]))
    assert answer.status_code == 422
    assert answer.headers["content-type"] == "application/problem+json"
    problem = answer.json()
    assert (problem["code"], problem["fault_count"]) == ("invalid-schedule", 2)
    assert problem["faults"][0] == {
        "pointer": "/rows/2/B",
        "code": "quantity-unreadable",
        "message": "Row 2, column B (Qty): “x” is not a whole number; write one, such as 4.",
    }
    assert problem["faults"][1]["pointer"] == "/rows/2/C"


def test_unknown_rule_set_is_a_fault_of_its_cell(client: httpx.Client) -> None:
    answer = send(client, csv_bytes([(*HEADER, "Product"), (*DOOR, "felt")]))
    assert [fault["code"] for fault in answer.json()["faults"]] == ["rule-set-unknown"]


def test_refusal_comes_as_a_report_where_text_is_asked_for(
    client: httpx.Client, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    content = csv_bytes([HEADER, [*DOOR[:2], "barn", *DOOR[3:]]])
    answer = send(client, content, accept="text/plain")
    assert answer.status_code == 422
    assert answer.headers["content-type"].startswith("text/plain")
    assert answer.headers["vary"] == "Accept"
    report = answer.text
    assert report.startswith("Schedule: CSV in UTF-8, delimiter comma\n\nColumns\n  A  Mark: mark")
    assert "\n\n1 fault; nothing was taken\n  Row 2, column C (Type): “barn” is not a" in report
    assert "\n\nSkipped\n  Row 1 was skipped: the header.\n" in report
    for accept in ("application/json", "*/*", "text/plain;q=0.5, application/json"):
        refused = send(client, content, accept=accept)
        assert refused.headers["content-type"] == "application/problem+json"
        assert refused.json()["faults"][0]["pointer"] == "/rows/2/C"
    path = tmp_path / "schedule.csv"
    path.write_bytes(content)
    assert main(["schedule", str(path), "--text"]) == 3
    assert capsys.readouterr().err == report


def test_report_comes_as_text(client: httpx.Client) -> None:
    answer = send(client, DOOR_FILE, accept="text/plain")
    assert answer.headers["content-type"].startswith("text/plain")
    assert answer.text.startswith("Schedule: CSV in UTF-8, delimiter comma\n\nColumns\n  A  Mark: ")
    assert "1 mark, 2 openings" in answer.text


@pytest.mark.parametrize(
    ("options", "codes"),
    [
        ("{", ["options-not-json"]),
        ("[]", ["options-wrong-type"]),
        ('{"unit":"ell","mapping":{"colour":"B"}}', ["options-not-one-of", "options-not-one-of"]),
    ],
)
def test_options_that_cannot_be_read_are_refused(
    client: httpx.Client, options: str, codes: list[str]
) -> None:
    answer = client.post(
        "/v1/schedules", files={"file": ("a", DOOR_FILE)}, params={"options": options}
    )
    assert answer.status_code == 422
    assert [fault["code"] for fault in answer.json()["faults"]] == codes


@pytest.mark.parametrize(
    ("content_type", "body", "status", "code"),
    [
        ("application/json", b"{}", 415, "unsupported-media-type"),
        ("", DOOR_FILE, 415, "unsupported-media-type"),
        ("multipart/form-data", b"x", 400, "bad-request"),
        ("multipart/form-data; boundary=x", b"--x\r\nfoo", 400, "bad-request"),
        ("multipart/form-data; boundary=x", b"--x--\r\n", 400, "bad-request"),
        (CSV, b"", 422, "invalid-schedule"),
        (XLSX, b"PK\x03\x04", 422, "invalid-schedule"),
        (CSV, b"x" * (16 * 1024 * 1024 + 1), 413, "body-too-large"),
        ("multipart/form-data; boundary=x",
         b'--x\r\nContent-Disposition: form-data; name="file"; filename="a"\r\n\r\n'
         + b"x" * (16 * 1024 * 1024) + b"\r\n--x--\r\n", 413, "body-too-large"),
    ],
)  # fmt: skip
def test_bodies_that_are_no_schedule_are_refused(
    client: httpx.Client, content_type: str, body: bytes, status: int, code: str
) -> None:
    answer = send(client, body, content_type=content_type)
    assert (answer.status_code, answer.json()["code"]) == (status, code)


def test_packed_body_is_refused(client: httpx.Client) -> None:
    assert send(client, DOOR_FILE, content_encoding="gzip").status_code == 415


def test_command_writes_openings_and_tells_faults(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "doors.csv"
    file.write_bytes(csv_bytes([("Door", "Size", "Style"), ("D-01", "3068", "A")]))
    known = '{"words": {"kind": {"A": "single"}}}'
    command = ["schedule", str(file), "--default", "finish=zinc"]
    assert main([*command, "--options", known]) == 0
    assert json.loads(capfd.readouterr().out)["openings"][0]["kind"] == "single-door"
    assert main([*command, "--options", known, "--text", "--map", "mark=A"]) == 0
    assert "1 mark, 1 openings" in capfd.readouterr().out
    assert main(command) == 3
    assert capfd.readouterr().err.startswith("/rows/2/C: Row 2, column C (Style): “A” is not a ")
    assert main([*command, "--map", "mark"]) == 2
    assert capfd.readouterr().err == "--map 'mark' has no =; write --map FIELD=TEXT\n"
    assert main([*command, "--options", '{"mapping": 3}']) == 3
    assert "/options/mapping: " in capfd.readouterr().err
