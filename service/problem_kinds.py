"""What a kind of problem is (RFC 9457)."""

from dataclasses import dataclass
from http import HTTPStatus


@dataclass(frozen=True, slots=True)
class ProblemKind:
    """One kind of problem: its code, its HTTP status, its title and what it means."""

    code: str
    status: HTTPStatus
    title: str
    meaning: str
