"""What differs between two versions of a catalogue."""

import asyncio

from litestar import Response, get
from litestar.params import FromPath

from service.access.caller import Scope
from service.catalogues.keeping import compare_kept
from service.gates.admission import caller_of
from service.mapping.queries import read_query
from service.media_types import JSON, TEXT, choose_media_type
from service.operation import Contract
from service.problems import NOT_FOUND
from service.responses import AnyRequest, answer_document
from service.routes.kept_kinds import CATALOGUES
from service.routes.kept_versions import find_versions
from service.running import running
from service.wire.differences import CatalogueDifferences
from service.wire.kept_tables import TwoVersions

EXAMPLE = ("larkmoor-autumn.difference",)


@get(
    f"{CATALOGUES.path}/{{name:str}}/differences",
    operation_id="compareCatalogueVersions",
    summary="Compare two versions of a catalogue",
    description="Answers with what differs between two versions: articles added and removed, "
    "prices and terms changed, each with what it was and what it is. What is only written in "
    "another way does not differ.",
    tags=[CATALOGUES.tag],
    contract=Contract(
        scope=Scope.READ,
        query=TwoVersions,
        answers={JSON: CatalogueDifferences, TEXT: None},
        answer_description="The differences.",
        answer_examples={JSON: EXAMPLE, TEXT: EXAMPLE},
        problems=(NOT_FOUND,),
    ),
)
async def compare_versions(request: AnyRequest, name: FromPath[str]) -> Response[bytes]:
    """Answer with what differs between two versions."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    asked = read_query(TwoVersions, request.scope["query_string"])
    async with running(request).store.reading() as transaction:
        before, after = await find_versions(
            transaction, caller_of(request).tenant, CATALOGUES, name, (asked.from_, asked.to)
        )
    document = await asyncio.to_thread(
        compare_kept, before.body, after.body, as_text=media_type == TEXT
    )
    return answer_document(document, media_type)
