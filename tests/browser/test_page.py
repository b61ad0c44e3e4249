"""The whole path through the page, as a reader goes it."""

import io
import json
from itertools import pairwise
from zipfile import ZipFile

import pypdfium2
import pytest
from openpyxl import load_workbook
from playwright.sync_api import Download, Page, expect

from tests.harbour_row import ten_doors
from tests.serving import RunningService

FORMS = ("HTML", "PDF", "XLSX", "CSV", "CSV files")


def read_example(page: Page) -> None:
    page.click("text=Put in rows of Harbour Row")
    expect(page.locator("#schedule-rows")).not_to_have_value("")
    page.click("text=Read the schedule")
    page.wait_for_selector("#plan-button:enabled")


def plan_example(page: Page) -> None:
    read_example(page)
    page.click("#plan-button")
    page.wait_for_selector("#plan-total")


def test_a_schedule_is_read_planned_and_explained(page: Page, service: RunningService) -> None:
    plan_example(page)
    assert "30 openings in 5 lines" in page.inner_text("#schedule-outcome")
    newest = service.client.get("/v1/plans?limit=1").json()["entries"][0]
    plan = service.client.get(newest["plan"]).json()
    assert page.inner_text("#plan-total") == f"USD {float(plan['total']):,.2f}"
    assert page.inner_text("#plan-proof").startswith("Proved")
    rows = page.locator("#plan-purchases tbody tr")
    cells = [row.split("\t") for row in rows.all_inner_texts()]
    assert [(sku, quantity, each, amount) for sku, quantity, _, each, amount in cells] == [
        (line["sku"], str(line["quantity"]), line["unit_price"], f"{float(line['amount']):,.2f}")
        for line in plan["purchases"]
    ]
    assert page.locator("#plan-alternatives tbody tr").count() == len(plan["alternatives"])
    page.click("text=reasons, with their arithmetic")
    assert page.locator("#plan-reasons ol li").count() == len(plan["reasons"])
    assert page.locator("#plan-diagrams svg").count() == len(plan["patterns"])
    for caution in plan["cautions"]:
        assert caution["sentence"] in page.inner_text("#plan-cautions")


def test_without_kits_costs_what_the_alternative_says(page: Page) -> None:
    plan_example(page)
    alternative = page.locator("#plan-alternatives tr", has_text="No kits").inner_text()
    _, cost, more = alternative.split("\t")
    page.select_option("#change-kits", "none")
    page.wait_for_selector("#changed-total")
    assert page.inner_text("#changed-total") == f"USD {cost} ({more})"
    page.click("text=Put everything back")
    assert page.locator("#changed-total").count() == 0


def test_a_dearer_bare_kit_shows_its_difference_at_once(page: Page) -> None:
    plan_example(page)
    page.get_by_label("LK-Z, bare kit: base", exact=True).fill("99")
    page.wait_for_selector("#changed-total")
    assert "LK-Z\t" in page.inner_text("#changes-outcome")
    assert page.inner_text("#changed-total").split("(")[1][0] == "+"
    page.get_by_label("LK-Z, bare kit: base", exact=True).fill("none")
    page.wait_for_selector("#changes-outcome .refused")
    assert "/catalogues/0/kits/0/price" in page.inner_text("#changes-outcome")


def test_a_refused_file_shows_its_faults_by_row(page: Page) -> None:
    rows = ("D-1,two,single,36,80", "D-2,1,single,36x,80", "D-3,1,single,36,80")
    content = "\n".join(("Mark,Qty,Type,Width,Height", *rows))
    page.set_input_files(
        "#schedule-file", {"name": "doors.csv", "mimeType": "text/csv", "buffer": content.encode()}
    )
    page.click("text=Read the schedule")
    page.wait_for_selector("#schedule-outcome .refused")
    faulty = page.locator("#schedule-outcome td.faulty")
    assert faulty.all_inner_texts() == ["✗ two", "✗ 36x"]
    assert "Row 2" in page.inner_text("#schedule-outcome tbody tr:first-child th")
    assert page.is_disabled("#plan-button")


def test_a_solve_that_takes_long_is_cancelled(page: Page, service: RunningService) -> None:
    # Over a thousand distinct lengths keep a solver busy for longer than a reader takes.
    rows = [f"D-{n},1,single,{30 + n / 64},{70 + n / 64}" for n in range(600)]
    lines = ["Mark,Qty,Type,Width,Height", *rows]
    order = ten_doors()
    catalogue = json.dumps(order["catalogues"][0]).encode()
    page.set_input_files(
        "#catalogue-file",
        {"name": "larkmoor.json", "mimeType": "application/json", "buffer": catalogue},
    )
    page.wait_for_selector("#catalogue-outcome >> text=Prices of")
    page.fill("#schedule-rows", "\n".join(lines))
    page.click("text=Read the schedule")
    page.wait_for_selector("#plan-button:enabled")
    page.fill("#order-seconds", "60")
    page.click("#plan-button")
    page.wait_for_selector("#progress-words >> text=Now:")
    page.click("#cancel-button")
    page.wait_for_selector("#order-outcome >> text=Cancelled")
    job = page.get_attribute("#at-work", "data-job")
    assert service.client.get(f"/v1/jobs/{job}").json()["status"] == "cancelled"
    assert page.is_hidden("#plan") and page.is_hidden("#at-work")


def read_download(download: Download, form: str) -> None:
    content = download.path().read_bytes()
    if form == "HTML":
        assert content.lower().startswith(b"<!doctype html>")
    elif form == "PDF":
        assert len(pypdfium2.PdfDocument(content)) >= 1
    elif form == "XLSX":
        assert load_workbook(io.BytesIO(content)).sheetnames
    elif download.suggested_filename.endswith(".zip"):
        assert ZipFile(io.BytesIO(content)).namelist()
    else:
        assert b"," in content.splitlines()[0]


def save(page: Page, label: str) -> Download:
    """Return the file that a button saves; where the browser holds it back, its link does."""
    came: list[Download] = []

    def note(download: Download) -> None:
        came.append(download)

    page.on("download", note)
    page.get_by_label(label, exact=True).click()
    page.wait_for_selector("#documents-outcome :is(a, .refused)")
    assert page.locator("#documents-outcome .refused").count() == 0
    for _ in range(40):
        if came:
            return came[0]
        page.wait_for_timeout(50)
    with page.expect_download() as saved:
        page.click("#documents-outcome a")
    return saved.value


def test_every_document_comes_in_every_form(page: Page) -> None:
    plan_example(page)
    titles = page.locator("#document-list li span").all_inner_texts()
    assert len(titles) == 7
    for title in titles[1:]:
        for form in FORMS:
            read_download(save(page, f"{title} as {form}"), form)


def test_the_page_works_from_the_keyboard_alone(page: Page) -> None:
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    _go_to(page, "example-rows")
    page.keyboard.press("Enter")
    expect(page.locator("#schedule-rows")).not_to_have_value("")
    _go_to(page, "schedule-finish")
    page.keyboard.press("Enter")
    page.wait_for_selector("#plan-button:enabled")
    _go_to(page, "plan-button")
    page.keyboard.press("Enter")
    page.wait_for_selector("#plan-total")
    assert page.evaluate("document.activeElement.id") == "plan"


def _go_to(page: Page, wanted: str) -> None:
    for _ in range(60):
        if page.evaluate("document.activeElement.id") == wanted:
            return
        page.keyboard.press("Tab")
    pytest.fail(f"Tab does not lead to {wanted}")


def test_the_page_fits_the_width_of_a_phone(page: Page) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    plan_example(page)
    page.select_option("#change-spacing", "6 in")
    page.wait_for_selector("#changed-total")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_every_field_has_a_label_and_headings_come_in_order(page: Page) -> None:
    plan_example(page)
    unlabelled = page.evaluate(
        "[...document.querySelectorAll('input, select, textarea, progress')]"
        ".filter(field => !field.labels?.length && !field.getAttribute('aria-label')"
        " && !field.getAttribute('aria-labelledby')).map(field => field.id)"
    )
    assert unlabelled == []
    levels = page.evaluate(
        "[...document.querySelectorAll('h1, h2, h3')].map(heading => Number(heading.tagName[1]))"
    )
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
