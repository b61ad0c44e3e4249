"""The gate that answers OPTIONS: what an address takes, all of it.

The framework's own answer names the methods of the handler that was registered first (2.25).
"""

from typing import TYPE_CHECKING

from litestar.enums import ScopeType
from litestar.middleware import ASGIMiddleware
from litestar.routes import HTTPRoute

if TYPE_CHECKING:
    from litestar.types import ASGIApp, Receive, Scope, Send


class OptionsGate(ASGIMiddleware):
    """Answers OPTIONS; whatever else passes."""

    scopes = (ScopeType.HTTP,)

    async def handle(
        self, scope: "Scope", receive: "Receive", send: "Send", next_app: "ASGIApp"
    ) -> None:
        """Answer with the methods of the address, or pass a request on."""
        if scope.get("method") != "OPTIONS":
            await next_app(scope, receive, send)
            return
        allowed = ", ".join(
            sorted(
                {
                    str(method)
                    for route in scope["litestar_app"].routes
                    if route.path_format == scope["path_template"] and isinstance(route, HTTPRoute)
                    for handler in route.route_handlers
                    for method in handler.http_methods
                }
            )
        )
        await send(
            {
                "type": "http.response.start",
                "status": 204,
                "headers": [(b"allow", allowed.encode())],
            }
        )
        await send({"type": "http.response.body", "body": b"", "more_body": False})
