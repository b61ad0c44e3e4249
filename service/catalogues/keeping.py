"""Catalogues that are kept, as tables: read to be kept, and written from what is kept."""

from collections.abc import Sequence

from optimiser.domain.faults import Fault
from optimiser.units.lengths import LengthUnit
from service.catalogues.cell import TableForm
from service.catalogues.comparing import differences
from service.catalogues.difference_text import render_differences
from service.catalogues.table_files import invalid_table, read_table, write_table
from service.json_text import read_json
from service.mapping.queries import invalid_query, validate_query
from service.mapping.stored import NewContent, find_faults_of_days, make_content
from service.problems import INVALID_CATALOGUE_TABLE, NOT_ACCEPTABLE, Problem
from service.wire.catalogue import Catalogue
from service.wire.kept_tables import NewTable, NewTableVersion


def read_new_table(
    content: bytes,
    form: TableForm | None,
    query: Sequence[tuple[str, str]],
    model: type[NewTableVersion],
) -> NewContent:
    """Return what a request asks to keep that has a catalogue as tables and the rest in its query.

    Without a form the content tells it.

    Raises:
        Problem: the tables or the query cannot be taken; every fault of both is listed.
    """
    stated = validate_query(model, query)
    faults = [*(stated if isinstance(stated, list) else ()), *find_faults_of_days(dict(query))]
    if model is NewTable and "name" not in dict(query):
        message = "name: is needed beside tables; send it in the query, such as ?name=larkmoor."
        faults.append(Fault(("name",), "name-needed", message))
    units = tuple(LengthUnit) if isinstance(stated, list) else (stated.unit,)
    try:
        catalogue = read_table(content, form or TableForm.of_content(content), units)
    except Problem as problem:
        raise invalid_table([*faults, *problem.faults]) from None
    if faults or isinstance(stated, list):
        raise invalid_query(faults)
    return make_content(stated, catalogue)


def write_kept_table(body: str, form: TableForm) -> bytes:
    """Return a catalogue that is kept as a file of tables, the same bytes for the same catalogue.

    Raises:
        Problem: a workbook would be too large.
    """
    try:
        return write_table(_read(body), form)
    except Problem as problem:
        if problem.kind is not INVALID_CATALOGUE_TABLE:
            raise
        raise Problem(NOT_ACCEPTABLE, problem.detail, faults=problem.faults) from None


def compare_kept(before: str, after: str, *, as_text: bool) -> bytes:
    """Return what differs between two catalogues that are kept, in UTF-8, as text or as JSON."""
    found = differences(_read(before), _read(after))
    return (render_differences(found) if as_text else found.model_dump_json()).encode()


def _read(body: str) -> Catalogue:
    return Catalogue.model_validate(read_json(body.encode()))
