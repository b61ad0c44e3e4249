"""A catalogue written as tables and read again is the same catalogue, in both forms."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.catalogues import TableForm, read_table, write_table
from service.catalogues.table_files import assemble
from service.wire.catalogue import Catalogue
from tests.property.catalogue_strategies import catalogues

some = settings(
    max_examples=25,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@pytest.mark.parametrize("form", TableForm)
@some
@given(data=st.data())
def test_what_is_exported_is_imported_as_it_was(data: st.DataObject, form: TableForm) -> None:
    catalogue = data.draw(catalogues(readable=True))
    assert read_table(write_table(catalogue, form), form) == catalogue


@pytest.mark.parametrize("form", TableForm)
@some
@given(data=st.data())
def test_tables_hold_whatever_the_wire_holds(data: st.DataObject, form: TableForm) -> None:
    """Also lengths and weights that no order would take: what reads them tells, not the tables."""
    catalogue = data.draw(catalogues(readable=False))
    assembled = assemble(write_table(catalogue, form), form)
    assert assembled.faults == []
    assert Catalogue.model_validate(assembled.raw) == catalogue


@some
@given(data=st.data())
def test_the_same_catalogue_gives_the_same_bytes(data: st.DataObject) -> None:
    catalogue = data.draw(catalogues(readable=False))
    for form in TableForm:
        assert write_table(catalogue, form) == write_table(catalogue, form)
