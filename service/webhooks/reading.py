"""Reading what a webhook shall be, with every fault at once."""

from typing import TypeVar

from optimiser.domain.faults import Fault
from service.json_text import MalformedJson, read_json
from service.mapping.validation import validate
from service.problems import MALFORMED_JSON, Problem, count_faults
from service.resource_problems import INVALID_CONTENT
from service.webhooks.destinations import Destinations, UnfitUrl
from service.wire.base import WireModel

M = TypeVar("M", bound=WireModel)


async def read_webhook(
    body: bytes, model: type[M], destinations: Destinations, *, known_url: str | None = None
) -> M:
    """Return what a request states; a URL is looked at unless it is the one that is known.

    Raises:
        Problem: malformed JSON or an invalid content; every fault is listed.
    """
    try:
        raw = read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None
    validated = validate(model, raw)
    faults: list[Fault] = []
    if isinstance(validated, list):
        faults += validated
    url = raw.get("url") if isinstance(raw, dict) else None
    told = any(fault.path == ("url",) for fault in faults)
    if isinstance(url, str) and url != known_url and not told:
        try:
            await destinations.find(url)
        except UnfitUrl as error:
            faults += error.faults
    if isinstance(validated, list) or faults:
        raise Problem(INVALID_CONTENT, count_faults(tuple(faults)), faults=faults)
    return validated
