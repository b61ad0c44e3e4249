"""Studies, and jobs that make them.

Revision ID: 0003
Revises: 0002
"""

import sqlalchemy as sa
from alembic import op

from service.store.columns import UtcDateTime

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the table and the columns."""
    op.create_table(
        "studies",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("request", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("table_csv", sa.Text(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("points", sa.Integer(), nullable=False),
        sa.Column("proved", sa.Boolean(), nullable=False),
        sa.Column("solve_seconds", sa.Float(), nullable=False),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["tenant_id"], ["tenants.id"], name=op.f("fk_studies_tenant_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_studies")),
    )
    with op.batch_alter_table("studies", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_studies_tenant_id_created_at_id"),
            ["tenant_id", "created_at", "id"],
            unique=False,
        )
    with op.batch_alter_table("jobs", schema=None) as batch_op:
        batch_op.add_column(sa.Column("study_id", sa.String(length=32), nullable=True))
        batch_op.add_column(
            sa.Column("kind", sa.String(length=16), server_default="plan", nullable=False)
        )
        batch_op.create_foreign_key(batch_op.f("fk_jobs_study_id"), "studies", ["study_id"], ["id"])
