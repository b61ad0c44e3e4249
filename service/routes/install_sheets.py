"""Install sheets: an order in, a sheet for the carpenter for each mark out."""

from litestar import Response, post

from service.media_types import JSON, TEXT
from service.operation import Contract
from service.problems import (
    BODY_TOO_LARGE,
    INVALID_ORDER,
    MALFORMED_JSON,
    UNSUPPORTED_MEDIA_TYPE,
)
from service.responses import AnyRequest
from service.routes.inputs import answer_from_body
from service.site_documents import write_install_sheets_document
from service.wire.site import InstallOrder, InstallSheets

CONTRACT = Contract(
    request=InstallOrder,
    answers={JSON: InstallSheets, TEXT: None},
    answer_description="The install sheets, one for each mark.",
    problems=(MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_ORDER),
    request_examples=("front-doors",),
    answer_examples={JSON: ("front-doors.install",), TEXT: ("front-doors.install",)},
)


@post(
    "/v1/install-sheets",
    operation_id="writeInstallSheets",
    summary="Write install sheets",
    description="Takes the order that a takeoff takes, its catalogues left out or not, and answers "
    "for every mark with its pieces edge by edge, which member goes where, the position of every "
    "fastener along its piece, the order of work and the cautions that apply. With `fits`, "
    "profiles for the leaves of some marks, a sheet also has the cuts in the leaf and says "
    "whether the clearances hold. Up to 2,000 marks and 200,000 positions at once.",
    tags=["bench and site"],
    status_code=200,
    contract=CONTRACT,
)
async def write_install_sheets(request: AnyRequest) -> Response[bytes]:
    """Answer with the install sheets of the order in the body."""
    return await answer_from_body(request, write_install_sheets_document)
