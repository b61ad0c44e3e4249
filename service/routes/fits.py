"""Fits: a profile and a leaf in; groove, rabbet, bits and clearances out."""

from litestar import Response, post

from service.access.caller import Scope
from service.fitting import write_fit_document
from service.media_types import JSON, TEXT
from service.operation import Contract
from service.problems import (
    BODY_TOO_LARGE,
    INVALID_INPUTS,
    MALFORMED_JSON,
    UNSUPPORTED_MEDIA_TYPE,
)
from service.responses import AnyRequest
from service.routes.inputs import answer_from_body
from service.wire.fit import FitInputs
from service.wire.fitted import Fit

CONTRACT = Contract(
    scope=Scope.PLAN,
    once=True,
    request=FitInputs,
    answers={JSON: Fit, TEXT: None},
    answer_description="The fit, every figure with its formula, its inputs and its source.",
    problems=(MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_INPUTS),
    request_examples=("door-fit",),
    answer_examples={JSON: ("door-fit.fit",), TEXT: ("door-fit.fit",)},
)


@post(
    "/v1/fits",
    operation_id="fitProfile",
    summary="Fit a profile to a leaf",
    description="Takes the published section of a strip and the thickness of a leaf, and answers "
    "with the groove at the hinge stile, the rabbet at strike and head, the router bits that cut "
    "the groove, the least thickness of the leaf and what is left of it, and the order of work. "
    "With a range of temperature or of moisture it also says whether the clearances that are "
    "asked for hold the growth of the strip and of the leaf. What the maker publishes goes "
    "before what is worked out.",
    tags=["bench and site"],
    status_code=200,
    contract=CONTRACT,
)
async def fit_profile(request: AnyRequest) -> Response[bytes]:
    """Answer with the fit of the inputs in the body."""
    return await answer_from_body(request, write_fit_document)
