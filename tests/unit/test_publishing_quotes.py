"""The quote and what stays inside as documents: their sums are the quote's own."""

from dataclasses import replace
from decimal import Decimal
from typing import get_type_hints

import pytest

from optimiser.domain.publication import Cell, Edition, Language, LengthsShown, Publication
from optimiser.domain.quote import CustomerQuote, Quote
from optimiser.domain.quote_terms import AdditionBasis, LineKind, RoundingRule, TaxRounding
from optimiser.explain.document_words import word
from optimiser.publishing.builders import DOCUMENTS_OF_QUOTES
from optimiser.publishing.builders.quotes import build_quote
from optimiser.publishing.forms import FORMS
from optimiser.publishing.forms.html import write_html
from optimiser.publishing.forms.text import write_text
from optimiser.quote import price_plan
from tests.every_term import every_term
from tests.pages import faults_of, read_page
from tests.publications import column, table_of
from tests.quote_terms import EVERY_TERM, terms
from tests.unit.test_render_text import explained

QUOTED = price_plan(explained(every_term()), EVERY_TERM)


def publish(name: str, quote: Quote = QUOTED, edition: Edition | None = None) -> Publication:
    return DOCUMENTS_OF_QUOTES[name](quote, edition or Edition())


def add(cells: list[Cell]) -> Decimal:
    return sum((cell for cell in cells if isinstance(cell, Decimal)), Decimal(0))


def test_openings_add_up_to_the_list_price() -> None:
    table = table_of(publish("quote"), "openings")
    assert add(column(table, "price")) == QUOTED.customer.list_price == Decimal("1232.84")
    assert table.totals == ((None, 7, "All openings", None, Decimal("1232.84")),)


def test_how_the_total_comes_about_adds_up_but_for_the_net_price() -> None:
    table = table_of(publish("quote"), "price")
    amounts = dict(table.rows)
    net = amounts.pop("Net price")
    assert net == QUOTED.customer.net_price
    assert add(list(amounts.values())) == QUOTED.customer.total
    assert table.totals == (("Total", Decimal("1264.59")),)


def test_what_is_to_be_paid_adds_up_to_the_total() -> None:
    table = table_of(publish("quote"), "payment")
    assert add(column(table, "amount")) + add(list(table.totals[0])) == QUOTED.customer.total


def test_openings_that_differ_in_price_say_how_many_have_which() -> None:
    each = column(table_of(publish("quote"), "openings"), "each")
    assert each[0] == "1 at 158.27, 1 at 158.26"
    assert each[1] == Decimal("180.67")


def test_the_inside_sheet_has_the_sums_of_lines_openings_and_labour() -> None:
    sheet = publish("quote-inside")
    lines, inside = table_of(sheet, "lines"), QUOTED.inside
    assert lines.totals[0][2:] == (
        inside.cost,
        inside.list_price - inside.cost,
        inside.list_price,
        inside.net_price,
    )
    for name, total in zip(("cost", "added", "price", "net"), lines.totals[0][2:], strict=True):
        assert add(column(lines, name)) == total
    openings = table_of(sheet, "openings")
    assert openings.totals == (("Together", 7, inside.cost, inside.list_price),)
    assert add(column(openings, "cost")) == inside.cost
    labour = table_of(sheet, "labour")
    assert add(column(labour, "cost")) == labour.totals[0][-1] == Decimal("601.50")


def test_the_builder_of_the_quote_is_handed_what_the_customer_sees_alone() -> None:
    assert get_type_hints(build_quote)["quote"] is CustomerQuote


def test_no_form_of_the_quote_shows_a_cost_an_addition_or_a_supplier() -> None:
    page = read_page(write_html(publish("quote"))).all("body")[0].text
    text = write_text(publish("quote")).decode() + page
    inside = QUOTED.inside
    hidden = {f"{line.cost:,}" for line in inside.lines} - {"6.00"}
    hidden |= {f"{opening.cost:,}" for opening in inside.openings}
    hidden |= {f"{inside.cost:,}", f"{inside.earned:,}", "Larkmoor", "margin", "mark-up", "TK-Z"}
    assert not {word for word in hidden if word in text}
    assert "It is not for the customer" in write_text(publish("quote-inside")).decode()


def test_words_dates_and_lengths_are_the_readers() -> None:
    american = write_text(publish("quote")).decode()
    assert american.startswith("Quote HR-12\nHarbour Row, every term\n")
    assert "Issued on March 2, 2026; valid until April 1, 2026." in american
    edition = Edition(language=Language.BRITISH, lengths=LengthsShown.BOTH)
    british = write_text(publish("quote", edition=edition)).decode()
    assert "Issued on 2 March 2026; valid until 1 April 2026." in british
    assert "36 in (914.4 mm) × 80 in (2032 mm)" in " ".join(british.split())
    assert "Labor, install" in write_text(publish("quote-inside")).decode()
    assert "Labour, install" in write_text(publish("quote-inside", edition=edition)).decode()


def test_a_quote_with_nothing_beside_prices_has_nothing_beside_them() -> None:
    plain = publish("quote", price_plan(every_term().plan, terms()))
    assert plain.title == "Quote"
    assert [table.name for table in plain.tables] == ["openings", "price"]
    assert table_of(plain, "price").rows == (("All openings", Decimal("372.18")),)


@pytest.mark.parametrize("name", list(DOCUMENTS_OF_QUOTES))
def test_every_form_takes_both_documents(name: str) -> None:
    publication = publish(name)
    assert faults_of(read_page(write_html(publication))) == []
    for form in FORMS:
        if form.takes(name) and form.installed:
            assert form.write(publication)


def test_every_kind_of_line_and_every_rule_has_words() -> None:
    named = [f"line.{kind}" for kind in LineKind]
    named += [f"inside.{rule}" for rule in RoundingRule]
    named += [f"inside.tax-{where}" for where in TaxRounding]
    for language in Language:
        assert all(word(key, language) for key in named)
        for basis in AdditionBasis:
            assert "5%" in word(f"inside.{basis}", language, percent="5%")


def test_a_net_price_of_nothing_earns_no_percentage() -> None:
    inside = replace(QUOTED.inside, earned_percent=None)
    text = write_text(publish("quote-inside", replace(QUOTED, inside=inside))).decode()
    assert "- Earned: $169.32. Net price $1,138.80 less cost $969.48." in text
