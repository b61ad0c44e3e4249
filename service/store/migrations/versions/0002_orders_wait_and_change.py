"""Orders wait for the plan of one job, and may have a change that is not accepted yet.

Revision ID: 0002
Revises: 0001
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the columns."""
    with op.batch_alter_table("orders", schema=None) as batch_op:
        batch_op.add_column(sa.Column("terms", sa.Text(), server_default="{}", nullable=False))
        batch_op.add_column(sa.Column("asked", sa.String(length=32), nullable=True))
        batch_op.add_column(sa.Column("pending_change", sa.Text(), nullable=True))
