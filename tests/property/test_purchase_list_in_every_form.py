"""What is to pay, read back from every form of a generated plan's purchase list: always the plan's.

Each reader shares no code with its form: lxml, pdfium, openpyxl, the csv module, plain splitting.
"""

import csv
import io
import zipfile
from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal

import openpyxl
import pypdfium2
import pytest
from hypothesis import given, settings
from lxml import html

from optimiser.domain.publication import Edition, Language, LengthsShown, Paper
from optimiser.domain.purchase_order import Ordering, Party
from optimiser.publishing.builders.matter import PlanMatter
from optimiser.publishing.builders.purchases import build_purchase_list
from optimiser.publishing.forms import forms_of
from optimiser.publishing.ubl import write_purchase_orders
from tests.oracle.buying_orders import BuyingOrder
from tests.oracle.buying_to_order import to_order
from tests.property.buying_strategies import few, orders_with, plan_of
from tests.ubl import read_ubl

Sums = tuple[list[Decimal], Decimal]
"""What each supplier is paid, and what that comes to."""

TOTAL = "Total to pay"


def _sums(rows: list[list[str]]) -> Sums:
    """Return the sums of the rows that end in the total."""
    *paid, (named, total) = [[row[0], row[-1]] for row in rows]
    assert named == TOTAL
    return [_number(amount) for _, amount in paid], _number(total)


def _number(text: str) -> Decimal:
    return Decimal(text.replace(",", ""))


def read_html(document: bytes) -> Sums:
    page = html.document_fromstring(document.decode())
    (table,) = page.xpath("//table[.//th[normalize-space()='Total to pay']]")
    rows = [
        [cell.text_content().replace("\N{NO-BREAK SPACE}", " ") for cell in row.xpath("th|td")]
        for row in table.xpath("tbody/tr")
    ]
    return _sums(rows)


def read_xlsx(document: bytes) -> Sums:
    sheet = openpyxl.load_workbook(io.BytesIO(document))["What is to pay"]
    rows = [[str(cell) for cell in row] for row in sheet.iter_rows(min_row=2, values_only=True)]
    return _sums(rows)


def read_csv(document: bytes) -> Sums:
    rows = csv.DictReader(io.StringIO(document.decode("utf-8-sig"), newline=""))
    return _sums([[r["supplier"], r["to-pay-usd"]] for r in rows if r["list"] == "to-pay"])


def read_archive(document: bytes) -> Sums:
    with zipfile.ZipFile(io.BytesIO(document)) as archive:
        text = archive.read("to-pay.csv").decode("utf-8-sig")
    return _sums(list(csv.reader(io.StringIO(text, newline="")))[1:])


def read_lines(lines: list[str]) -> Sums:
    """Return the sums of the lines from the heading to the total; an amount is the last word."""
    last = max(n for n, line in enumerate(lines) if line.startswith(TOTAL))
    first = max(n for n in range(last) if "Amount, USD" in lines[n])
    return _sums([line.rsplit(maxsplit=1) for line in lines[first + 1 : last + 1] if _ends(line)])


def _ends(line: str) -> bool:
    return line.strip()[-1:].isdigit()


def read_text(document: bytes) -> Sums:
    return read_lines(document.decode().replace("\N{NO-BREAK SPACE}", " ").splitlines())


def read_pdf(document: bytes) -> Sums:
    pages = pypdfium2.PdfDocument(document)
    text = "\n".join(page.get_textpage().get_text_bounded() for page in pages)
    lines = text.replace("\N{NO-BREAK SPACE}", " ").replace("\r", "").splitlines()
    return read_lines([" ".join(line.split()) for line in lines])


FORMS = forms_of("purchase-list")
READERS: dict[str, Callable[[bytes], Sums]] = {
    ".html": read_html,
    ".pdf": read_pdf,
    ".xlsx": read_xlsx,
    ".csv": read_csv,
    ".zip": read_archive,
    ".txt": read_text,
}


def editions() -> Iterator[Edition]:
    yield Edition()
    yield Edition(language=Language.BRITISH, lengths=LengthsShown.BOTH, paper=Paper.A4)


def test_every_form_has_its_reader() -> None:
    assert set(READERS) == {form.suffix for form in FORMS}


@pytest.mark.parametrize("feature", ["suppliers", "freight", "over-length"])
def test_what_is_to_pay_is_the_same_in_every_form(feature: str) -> None:
    @settings(few, max_examples=4)
    @given(order=orders_with(feature, most=3))
    def hold(order: BuyingOrder) -> None:
        plan = plan_of(order)
        if plan is None or not plan.shipments:
            return
        expected = ([shipment.total for shipment in plan.shipments], plan.payable)
        for edition in editions():
            listed = build_purchase_list(PlanMatter(plan=plan, order=to_order(order)), edition)
            for form in FORMS:
                assert READERS[form.suffix](form.write(listed)) == expected, form.suffix
        ordering = Ordering(order_id="1", issue_date=date(2027, 3, 1), buyer=Party(name="Buyer"))
        payable = "cac:AnticipatedMonetaryTotal/cbc:PayableAmount"
        orders = [read_ubl(o.xml).text(payable) for o in write_purchase_orders(plan, ordering)]
        assert [Decimal(amount) for amount in orders] == expected[0]

    hold()
