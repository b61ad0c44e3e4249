"""When a lease has ended: its time is over, or it lies further ahead than one could be given.

A lease of the second kind was given before the clock was set back: whoever holds it has renewed it
since, or is gone. Without that, what a process that is gone has left would wait for as long as the
clock was set back.
"""

from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import ColumnElement, or_

CLOCKS_DIFFER = timedelta(minutes=2)
"""How far the clocks of the processes over one store may be apart, at most."""


def has_ended(lease_until: datetime, now: datetime, lease: timedelta) -> bool:
    """Return whether a lease of this length has ended."""
    return not now < lease_until <= now + lease + CLOCKS_DIFFER


def ended(column: ColumnElement[Any], now: datetime, lease: timedelta) -> ColumnElement[bool]:
    """Return the condition that there is no lease in a column, or that it has ended."""
    return or_(column.is_(None), column <= now, column > now + lease + CLOCKS_DIFFER)
