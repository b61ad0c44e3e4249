"""Writes the next step of the history of the tables: `python -m tests.store.next_step MESSAGE`.

The step leads from the tables that the history makes to those of `service.store.tables`.
"""

import sys

from alembic import command
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine

from service.store.migrate import alembic_config


def main(message: str) -> None:
    """Write the step."""
    config = alembic_config()
    newest = ScriptDirectory.from_config(config).get_current_head() or "0000"
    with create_engine("sqlite://").begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
        number = f"{int(newest) + 1:04}"
        command.revision(config, message=message, autogenerate=True, rev_id=number)


if __name__ == "__main__":
    main(" ".join(sys.argv[1:]))
