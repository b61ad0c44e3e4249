"""Which pages of other origins may call the service: none, unless the settings name them."""

from litestar.config.cors import CORSConfig

PREFLIGHT_SECONDS = 600


def allow_origins(origins: tuple[str, ...]) -> CORSConfig | None:
    """Return what lets scripts of these origins call the service; without origins, nothing.

    No cookies are taken: a script sends its key as any other client does.
    """
    if not origins:
        return None
    return CORSConfig(
        allow_origins=list(origins),
        allow_methods=["GET", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"],
        # In small letters: the framework compares them with those of the request in such.
        allow_headers=[
            "authorization",
            "content-type",
            "idempotency-key",
            "if-match",
            "if-none-match",
            "last-event-id",
            "prefer",
            "traceparent",
            "tracestate",
            "x-request-id",
        ],
        expose_headers=[
            "ETag",
            "Link",
            "Location",
            "Preference-Applied",
            "RateLimit-Limit",
            "RateLimit-Policy",
            "RateLimit-Remaining",
            "RateLimit-Reset",
            "Retry-After",
            "Server-Timing",
            "X-Request-ID",
        ],
        max_age=PREFLIGHT_SECONDS,
    )
