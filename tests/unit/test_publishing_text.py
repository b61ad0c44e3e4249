"""Documents as plain text: every block is told, the widest text at the end of its line."""

from optimiser.domain.publication import Edition, LengthsShown
from optimiser.publishing.builders import DOCUMENTS_OF_PLANS
from optimiser.publishing.forms.text import write_text
from optimiser.render.table import LINE_WIDTH
from tests.publications import EXAMPLES, publish
from tests.unit.test_publishing_html import sample


def test_document_reads_line_by_line() -> None:
    assert (
        write_text(sample()).decode()
        == """\
Strip & <seal>
Harbour Row

DOORS
=====

Doors by size
  Qty  Mark            Width
-----  ------  -------------
1,040  D-1             36 in
               ≈ 35 63/64 in
1,040  in all

Cautions
- Measure first. Source: common practice, no source.

NEXT
====

3 × 80 1/2 in of strip

1. one
2. two

≈ stands before a length that is rounded, to 1/64 in or 0.1 mm, because its unit cannot show
it exactly.
"""
    )


def test_purchase_list_has_its_sums_below_its_lines() -> None:
    text = write_text(publish("purchase-list", EXAMPLES["every term"])).decode()
    assert (
        """\
ORDER FROM LARKMOOR TRADE COUNTER
=================================

Qty  SKU      Each, USD  Amount, USD  What
---  -------  ---------  -----------  ------------------------------------------------------
  1  TC-96-Z      27.00        27.00  Bundle of 3 × 96 in, interlocking-strip, zinc
  3  TK-Z         55.02       165.06  Bare kit, interlocking-strip, zinc: 3 × 79 in,
                                      2 × 34 in; for D-4
                              192.06  Goods
                                5.00  Freight
                              197.06  To pay
"""
        in text
    )


def test_every_document_keeps_within_the_line() -> None:
    for document in DOCUMENTS_OF_PLANS:
        for example in EXAMPLES.values():
            edition = Edition(lengths=LengthsShown.INCHES)
            text = write_text(publish(document, example, edition)).decode()
            long = [line for line in text.splitlines() if len(line) > LINE_WIDTH]
            assert long == [], document
