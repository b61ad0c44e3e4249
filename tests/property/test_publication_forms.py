"""Whatever a document says, every form of it can be read, and nothing in it runs as a formula."""

import csv
import io

import pypdfium2
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from optimiser.domain.publication import (
    Bullets,
    CautionBlock,
    Column,
    ColumnKind,
    Edition,
    Heading,
    LabelSheet,
    Language,
    LengthsShown,
    Paper,
    PaperLabel,
    Paragraph,
    Publication,
    Table,
)
from optimiser.publishing.forms.csv_files import write_csv
from optimiser.publishing.forms.html import write_html
from optimiser.publishing.forms.pdf import write_pdf
from optimiser.publishing.forms.xlsx import write_xlsx
from tests.pages import faults_of, read_page

COLUMNS = (
    Column(name="what", heading="What"),
    Column(name="count", heading="Qty", kind=ColumnKind.COUNT),
    Column(name="amount", heading="Amount, KWD", kind=ColumnKind.MONEY, currency="KWD"),
    Column(name="length", heading="Length", kind=ColumnKind.LENGTH),
    Column(name="share", heading="Share", kind=ColumnKind.PERCENT),
)
texts = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=40)
rows = st.lists(
    st.tuples(
        texts | st.none(),
        st.integers(0, 10**12) | st.none(),
        st.decimals(-(10**9), 10**9, places=3) | texts | st.none(),
        st.integers(0, 10**11) | st.none(),
        st.decimals(0, 100, places=2) | st.none(),
    ),
    max_size=15,
).map(tuple)
labels = st.builds(
    PaperLabel,
    lines=st.lists(texts, min_size=1, max_size=4).map(tuple),
    copies=st.integers(1, 3),
)


@st.composite
def publications(draw: st.DrawFn) -> Publication:
    return Publication(
        kind="any",
        title=draw(texts),
        subtitle=draw(texts | st.just("")),
        blocks=(
            Heading(2, draw(texts)),
            Paragraph(draw(texts)),
            Bullets(tuple(draw(st.lists(texts, max_size=3)))),
            CautionBlock(draw(texts), ((draw(texts), draw(texts)),)),
            Table(
                name="table",
                caption=draw(texts),
                columns=COLUMNS,
                rows=draw(rows),
                totals=draw(rows)[:2],
            ),
            LabelSheet(labels=tuple(draw(st.lists(labels, max_size=3)))),
        ),
        edition=Edition(
            language=draw(st.sampled_from(Language)),
            lengths=draw(st.sampled_from(LengthsShown)),
            paper=draw(st.sampled_from(Paper)),
        ),
    )


@settings(max_examples=40, deadline=None)
@given(publications())
def test_every_form_of_any_document_can_be_read(publication: Publication) -> None:
    (table,) = publication.tables
    for sheet in load_workbook(io.BytesIO(write_xlsx(publication))):
        assert all(cell.data_type != "f" for row in sheet.iter_rows() for cell in row)
    text = write_csv(publication).decode("utf-8-sig")
    header, *records = csv.reader(io.StringIO(text, newline=""))
    assert {len(record) for record in records} <= {len(header)}
    place = header.index("what")
    assert not any(record[place][:1] in tuple("=+-@") for record in records)
    listed = [record for record in records if record[0] == "table"]
    assert len(listed) == len(table.rows) + len(table.totals)
    with pypdfium2.PdfDocument(write_pdf(publication)) as pdf:
        assert len(pdf) >= 1
    assert "a table without a caption" not in faults_of(read_page(write_html(publication)))
