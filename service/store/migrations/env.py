"""What Alembic runs: every step of the history over the connection that it is handed."""

from typing import Any, Literal

from alembic import context

from service.store.columns import UtcDateTime
from service.store.tables import METADATA


def render_item(kind: str, item: Any, _context: Any) -> str | Literal[False]:
    """Return how a step writes a type of the project's own; its template imports it."""
    return "UtcDateTime()" if kind == "type" and isinstance(item, UtcDateTime) else False


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    # SQLite changes a table by making it anew.
    render_as_batch=True,
    transactional_ddl=True,
    render_item=render_item,
)
context.run_migrations()
