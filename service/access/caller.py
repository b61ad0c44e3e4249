"""Who asks: a tenant, by one of its keys, with the scopes of that key."""

from dataclasses import dataclass
from enum import StrEnum

LOCAL_TENANT = "local"
"""The tenant of requests without a key, as they come from this machine alone."""


class Scope(StrEnum):
    """What a key may be used for."""

    PLAN = "plan"
    """Work something out of what is sent along: plans, takeoffs, sheets, fits."""
    READ = "read"
    """Read what the tenant keeps."""
    WRITE = "write"
    """Change catalogues, racks and orders, and order plans of them."""
    ADMINISTER = "administer"
    """Set webhooks and read the audit log."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caller:
    """A tenant, and what speaks for it. `who` is the key's identifier; `local` without one."""

    tenant: str
    who: str
    scopes: frozenset[Scope]


LOCAL_CALLER = Caller(tenant=LOCAL_TENANT, who=LOCAL_TENANT, scopes=frozenset(Scope))
