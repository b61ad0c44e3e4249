"""The clock of the service, handed in so that a test can set it."""

from datetime import UTC, datetime


def utc_now() -> datetime:
    """Return this moment, aware and in UTC."""
    return datetime.now(UTC)
