"""What tables are made of: their metadata, and the columns that many of them have."""

from typing import Any

from sqlalchemy import Column, ForeignKey, Integer, MetaData, String

from service.store.columns import UtcDateTime

METADATA = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)

IDENTIFIER = 32
"""Characters of an identifier that the service gives."""


def tenant() -> Column[Any]:
    """Return the column of the tenant that a row belongs to."""
    return Column("tenant_id", String(64), ForeignKey("tenants.id"), nullable=False)


def identifier() -> Column[Any]:
    """Return the column of an identifier that the service gives."""
    return Column("id", String(IDENTIFIER), primary_key=True)


def moment(name: str, *, nullable: bool = False) -> Column[Any]:
    """Return a column of a moment."""
    return Column(name, UtcDateTime(), nullable=nullable)


def revision() -> Column[Any]:
    """Return the column that counts the changes of a row."""
    return Column("revision", Integer, nullable=False)
