"""The bodies of what is kept: JSON, and of a catalogue its tables, too."""

import asyncio
from typing import Any

from optimiser.domain.faults import Fault
from service.bodies import read_body, read_form_file, read_json_body
from service.catalogues import TableForm
from service.catalogues.keeping import read_new_table
from service.mapping.queries import invalid_query, split_query
from service.mapping.stored import NewContent, read_new_content
from service.media_types import FORM, JSON, XLSX, ZIP, require_body
from service.problem_kinds import ProblemKind
from service.problems import (
    BAD_REQUEST,
    BODY_TOO_LARGE,
    INVALID_CATALOGUE_TABLE,
    MALFORMED_JSON,
    UNSUPPORTED_MEDIA_TYPE,
    Problem,
)
from service.resource_problems import INVALID_CONTENT
from service.responses import AnyRequest
from service.routes.kept_kinds import Kept
from service.wire.kept_tables import NewTable, NewTableVersion

FORMS = {XLSX: TableForm.XLSX, ZIP: TableForm.CSV}
"""The media types of a catalogue as tables."""

_FILE = {"type": "string", "format": "binary"}
_BODIES: dict[str, dict[str, Any]] = {
    XLSX: {**_FILE, "description": "A workbook with one sheet per list."},
    ZIP: {**_FILE, "description": "An archive with one CSV file per list."},
    FORM: {
        "type": "object",
        "required": ["file"],
        "properties": {"file": {**_FILE, "description": "The workbook or the archive."}},
        "additionalProperties": False,
    },
}

IN_TABLES = (
    " A catalogue may come as tables, too: a workbook, or a ZIP archive of CSV files, as "
    "`GET .../versions/{number}` answers with; the query then states what JSON states beside the "
    "content. Either all of it is kept, or nothing is and every fault is listed with its cell."
)


def bodies_of(kept: Kept) -> dict[str, dict[str, Any]]:
    """Return the schemas of bodies that are not JSON."""
    return _BODIES if kept.in_tables else {}


def problems_of_body(kept: Kept) -> tuple[ProblemKind, ...]:
    """Return what may be wrong with a body."""
    of_tables = (INVALID_CATALOGUE_TABLE,) if kept.in_tables else ()
    return (MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_CONTENT, *of_tables)


def query_of(kept: Kept, *, first: bool) -> type[NewTableVersion] | None:
    """Return what the query states where the content comes as tables."""
    if not kept.in_tables:
        return None
    return NewTable if first else NewTableVersion


async def read_new(request: AnyRequest, kept: Kept, *, first: bool) -> NewContent:
    """Return what a request asks to keep: its first version, or a further one.

    Raises:
        Problem: the body cannot be taken; every fault is listed.
    """
    query = query_of(kept, first=first)
    model = kept.new if first else kept.new_version
    if query is None:
        return read_new_content(await read_json_body(request), model, kept.find_faults)
    content_type = request.headers.get("content-type")
    media_type = require_body(
        content_type, request.headers.get("content-encoding"), (JSON, *_BODIES)
    )
    stated = split_query(request.scope["query_string"])
    if media_type == JSON:
        _refuse_query([name for name, _ in stated if name in query.model_fields])
        return read_new_content(await read_json_body(request), model, kept.find_faults)
    if media_type == FORM:
        file, parts = await read_form_file(request)
        if parts:
            raise Problem(
                BAD_REQUEST,
                f"Of the form only the part file is read, not {', '.join(parts)[:80]}; state that "
                "in the query.",
            )
    else:
        file = await read_body(request)
    return await asyncio.to_thread(read_new_table, file, FORMS.get(media_type), stated, query)


def _refuse_query(names: list[str]) -> None:
    faults = [
        Fault(
            (name,),
            "stated-in-body",
            f"{name}: JSON states it itself; leave it out of the query, which is for tables.",
        )
        for name in dict.fromkeys(names)
    ]
    if faults:
        raise invalid_query(faults)
