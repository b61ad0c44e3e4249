"""The gate that holds each key to so many requests a minute."""

from litestar.middleware.base import DefineMiddleware
from litestar.middleware.rate_limit import RateLimitConfig

from service.gates.admission import CALLER
from service.responses import AnyRequest


def rate_gate(requests_per_minute: int) -> DefineMiddleware:
    """Return the gate: whoever asks more often is told when to come back.

    The count is of this process: several of them behind a proxy allow that many times as much.
    """
    return RateLimitConfig(
        rate_limit=("minute", requests_per_minute),
        identifier_for_request=_identify,
        check_throttle_handler=_is_counted,
    ).middleware


def _identify(request: AnyRequest) -> str:
    caller = request.scope["state"].get(CALLER)
    return f"{caller.tenant}/{caller.who}" if caller else ""


async def _is_counted(request: AnyRequest) -> bool:
    """Return whether the request counts; health and pages are open to all."""
    return CALLER in request.scope["state"]
