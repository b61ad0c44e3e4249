"""What a request sends and what it accepts, by media type (RFC 9110, sections 8.3 and 12.5.1)."""

from service.problems import NOT_ACCEPTABLE, UNSUPPORTED_MEDIA_TYPE, Problem

JSON = "application/json"
TEXT = "text/plain"
HTML = "text/html"
SVG = "image/svg+xml"
CSV = "text/csv"
ZIP = "application/zip"
XML = "application/xml"
PDF = "application/pdf"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
FORM = "multipart/form-data"
EVENTS = "text/event-stream"


def choose_media_type(accept: str | None, offered: tuple[str, ...]) -> str:
    """Return the offered media type that an Accept header prefers; the first where it is free.

    Raises:
        Problem: not acceptable; none of the offered ones is accepted.
    """
    if accept is None or not accept.strip():
        return offered[0]
    ranges = [_read_range(part) for part in accept.split(",") if part.strip()]
    ranked = [(_quality(media_type, ranges), media_type) for media_type in offered]
    best, chosen = max(ranked, key=lambda entry: entry[0])
    if best <= 0:
        raise Problem(
            NOT_ACCEPTABLE,
            f"The answer comes as {' or '.join(offered)}; accept one of them.",
        )
    return chosen


def _read_range(part: str) -> tuple[str, float]:
    """Return a media range without its parameters, and its quality, 1 where none is stated."""
    name, *parameters = (piece.strip().lower() for piece in part.split(";"))
    quality = 1.0
    for parameter in parameters:
        key, _, value = parameter.partition("=")
        if key.strip() == "q":
            try:
                quality = float(value)
            except ValueError:
                quality = 0.0
            # Written this way round so that `nan` counts as 0.
            quality = min(quality, 1.0) if quality > 0 else 0.0
    return name, quality


def _quality(media_type: str, ranges: list[tuple[str, float]]) -> float:
    """Return the quality that the most specific matching range gives; 0 where none matches."""
    main = media_type.partition("/")[0]
    for name in (media_type, f"{main}/*", "*/*"):
        matching = [quality for stated, quality in ranges if stated == name]
        if matching:
            return max(matching)
    return 0.0


def require_json(content_type: str | None, content_encoding: str | None) -> None:
    """Accept a body of JSON in UTF-8 alone.

    Raises:
        Problem: unsupported media type.
    """
    name, *parameters = (piece.strip().lower() for piece in (content_type or "").split(";"))
    charsets = [p.partition("=")[2].strip('"') for p in parameters if p.startswith("charset")]
    if name != JSON or any(charset not in {"utf-8", "utf8"} for charset in charsets):
        stated = (
            f"has the media type {content_type[:80]!r}" if content_type else "states no media type"
        )
        raise Problem(
            UNSUPPORTED_MEDIA_TYPE,
            f"The body {stated}; send JSON in UTF-8 with Content-Type: {JSON}.",
            headers={"accept": JSON},
        )
    _require_no_encoding(content_encoding)


def require_body(
    content_type: str | None, content_encoding: str | None, taken: tuple[str, ...]
) -> str:
    """Return the media type of a body, which must be one of those that are taken.

    Raises:
        Problem: unsupported media type.
    """
    name = (content_type or "").partition(";")[0].strip().lower()
    if name not in taken:
        stated = f"has the media type {name[:80]!r}" if name else "states no media type"
        raise Problem(
            UNSUPPORTED_MEDIA_TYPE,
            f"The body {stated}; send {' or '.join(taken)}.",
            headers={"accept": ", ".join(taken)},
        )
    _require_no_encoding(content_encoding)
    return name


def _require_no_encoding(content_encoding: str | None) -> None:
    if content_encoding and content_encoding.strip().lower() != "identity":
        raise Problem(
            UNSUPPORTED_MEDIA_TYPE,
            f"The body has the encoding {content_encoding[:80]!r}; send it without one.",
            headers={"accept-encoding": "identity"},
        )
