"""The gate that admits a request to a route that needs a scope."""

from typing import TYPE_CHECKING

import structlog
from litestar.enums import ScopeType
from litestar.middleware import ASGIMiddleware

from service.access.caller import Caller
from service.operation import Contract
from service.responses import AnyRequest
from service.running import running_of

if TYPE_CHECKING:
    from litestar.types import ASGIApp, Receive, Send
    from litestar.types import Scope as ConnectionScope

CALLER = "caller"


class AdmissionGate(ASGIMiddleware):
    """Admits who may use the route; routes without a scope are open to all."""

    scopes = (ScopeType.HTTP,)

    async def handle(
        self, scope: "ConnectionScope", receive: "Receive", send: "Send", next_app: "ASGIApp"
    ) -> None:
        """Pass a request on once it is known whose it is."""
        contract = scope["route_handler"].opt.get("contract")
        needed = contract.scope if isinstance(contract, Contract) else None
        if needed is not None:
            headers = dict(scope["headers"])
            stated = headers.get(b"authorization")
            caller = await running_of(scope["litestar_app"]).admission.admit(
                stated.decode("latin-1") if stated is not None else None, needed
            )
            scope["state"][CALLER] = caller
            structlog.contextvars.bind_contextvars(tenant=caller.tenant, key=caller.who)
        await next_app(scope, receive, send)


def caller_of(request: AnyRequest) -> Caller:
    """Return who asks."""
    caller: Caller = request.scope["state"][CALLER]
    return caller
