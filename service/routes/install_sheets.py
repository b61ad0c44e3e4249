"""Install sheets, of a takeoff or of a plan: a sheet for the carpenter for each mark."""

from dataclasses import replace

from litestar import Response, post

from service.access.caller import Scope
from service.install_documents import (
    prepare_planned_install_sheets,
    write_install_sheets_document,
)
from service.jobs.outcomes import PlanJob
from service.media_types import JSON, TEXT
from service.operation import Contract
from service.problems import (
    BODY_TOO_LARGE,
    INVALID_ORDER,
    MALFORMED_JSON,
    UNSUPPORTED_MEDIA_TYPE,
)
from service.responses import AnyRequest
from service.routes import plans
from service.routes.inputs import answer_from_body
from service.settings import Settings
from service.wire.site import InstallOrder, InstallSheets, PlannedInstallOrder

CONTRACT = Contract(
    scope=Scope.PLAN,
    once=True,
    request=InstallOrder,
    answers={JSON: InstallSheets, TEXT: None},
    answer_description="The install sheets, one for each mark.",
    problems=(MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_ORDER),
    request_examples=("front-doors",),
    answer_examples={JSON: ("front-doors.install",), TEXT: ("front-doors.install",)},
)


PLANNED: Contract = replace(
    plans.CONTRACT,
    later=None,
    request=PlannedInstallOrder,
    answers={JSON: InstallSheets, TEXT: None},
    answer_description="The install sheets of the order's plan, one for each mark.",
    request_examples=("spliced-jambs",),
    answer_examples={JSON: ("spliced-jambs.install",), TEXT: ("spliced-jambs.install",)},
)


@post(
    "/v1/install-sheets",
    operation_id="writeInstallSheets",
    summary="Write install sheets",
    description="Takes the order that a takeoff takes, its catalogues left out or not, and answers "
    "for every mark with its pieces edge by edge, which member goes where, the position of every "
    "fastener along its piece, the order of work and the cautions that apply. With `fits`, "
    "profiles for the leaves of some marks, a sheet also has the cuts in the leaf and says "
    "whether the clearances hold. Nothing is planned: which pieces are spliced, and what comes by "
    "kit, is on the sheets of `/v1/planned-install-sheets`. Up to 2,000 marks and 200,000 "
    "positions at once.",
    tags=["bench and site"],
    status_code=200,
    contract=CONTRACT,
)
async def write_install_sheets(request: AnyRequest) -> Response[bytes]:
    """Answer with the install sheets of the order in the body."""
    return await answer_from_body(request, write_install_sheets_document)


@post(
    "/v1/planned-install-sheets",
    operation_id="writePlannedInstallSheets",
    summary="Write the install sheets of an order's plan",
    description="Takes the order that a plan takes, with `fits` where they are wanted, makes the "
    "same plan without its alternatives, and answers with the install sheets as "
    "`/v1/install-sheets` does. They say as well what supplies each mark, what is trimmed on site, "
    "and which pieces are spliced: both segments, where the joint lies, and the fasteners on each "
    "side of it.",
    tags=["bench and site"],
    status_code=200,
    contract=PLANNED,
)
async def write_planned_install_sheets(request: AnyRequest) -> Response[bytes]:
    """Answer with the install sheets of the plan of the order in the body."""
    return await plans.answer_planned(request, _prepare)


def _prepare(body: bytes, settings: Settings, as_text: bool) -> PlanJob:
    return prepare_planned_install_sheets(
        body, as_text, longest_time_limit_seconds=settings.longest_time_limit_seconds
    )
