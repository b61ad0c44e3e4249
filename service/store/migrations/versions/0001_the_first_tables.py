"""The first tables."""

import sqlalchemy as sa
from alembic import op

from service.store.columns import UtcDateTime

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the change."""
    op.create_table(
        "tenants",
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tenants")),
    )
    op.create_table(
        "api_keys",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("name", sa.String(length=64), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("scopes", sa.Text(), nullable=False),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.Column("expires_at", UtcDateTime(), nullable=True),
        sa.Column("revoked_at", UtcDateTime(), nullable=True),
        sa.Column("last_used_at", UtcDateTime(), nullable=True),
        sa.Column("follows", sa.String(length=32), nullable=True),
        sa.ForeignKeyConstraint(["tenant_id"], ["tenants.id"], name=op.f("fk_api_keys_tenant_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_api_keys")),
        sa.UniqueConstraint("digest", name=op.f("uq_api_keys_digest")),
    )
    op.create_table(
        "audit_entries",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("at", UtcDateTime(), nullable=False),
        sa.Column("who", sa.String(length=64), nullable=False),
        sa.Column("request_id", sa.String(length=64), nullable=False),
        sa.Column("action", sa.String(length=48), nullable=False),
        sa.Column("resource_kind", sa.String(length=24), nullable=False),
        sa.Column("resource_id", sa.String(length=64), nullable=False),
        sa.Column("before", sa.Text(), nullable=True),
        sa.Column("after", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["tenant_id"], ["tenants.id"], name=op.f("fk_audit_entries_tenant_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_audit_entries")),
    )
    with op.batch_alter_table("audit_entries", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_audit_entries_tenant_id_at_id"), ["tenant_id", "at", "id"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_audit_entries_tenant_id_resource_kind_resource_id"),
            ["tenant_id", "resource_kind", "resource_id"],
            unique=False,
        )

    op.create_table(
        "documents",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("name", sa.String(length=64), nullable=False),
        sa.Column("latest", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.Column("changed_at", UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["tenant_id"], ["tenants.id"], name=op.f("fk_documents_tenant_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_documents")),
        sa.UniqueConstraint(
            "tenant_id", "kind", "name", name=op.f("uq_documents_tenant_id_kind_name")
        ),
    )
    op.create_table(
        "kept_answers",
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("key", sa.String(length=255), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("token", sa.String(length=32), nullable=False),
        sa.Column("lease_until", UtcDateTime(), nullable=False),
        sa.Column("status", sa.Integer(), nullable=True),
        sa.Column("headers", sa.Text(), nullable=True),
        sa.Column("body", sa.LargeBinary(), nullable=True),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["tenant_id"], ["tenants.id"], name=op.f("fk_kept_answers_tenant_id")
        ),
        sa.PrimaryKeyConstraint("tenant_id", "key", name=op.f("pk_kept_answers")),
    )
    with op.batch_alter_table("kept_answers", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_kept_answers_created_at"), ["created_at"], unique=False
        )

    op.create_table(
        "racks",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("name", sa.String(length=64), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.Column("changed_at", UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["tenant_id"], ["tenants.id"], name=op.f("fk_racks_tenant_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_racks")),
        sa.UniqueConstraint("tenant_id", "name", name=op.f("uq_racks_tenant_id_name")),
    )
    op.create_table(
        "webhooks",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("url", sa.Text(), nullable=False),
        sa.Column("secret", sa.Text(), nullable=False),
        sa.Column("events", sa.Text(), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.Column("changed_at", UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["tenant_id"], ["tenants.id"], name=op.f("fk_webhooks_tenant_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_webhooks")),
    )
    op.create_table(
        "document_versions",
        sa.Column("document_id", sa.String(length=32), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=True),
        sa.Column("valid_until", sa.Date(), nullable=True),
        sa.Column("remark", sa.Text(), nullable=False),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.Column("created_by", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(
            ["document_id"], ["documents.id"], name=op.f("fk_document_versions_document_id")
        ),
        sa.ForeignKeyConstraint(
            ["tenant_id"], ["tenants.id"], name=op.f("fk_document_versions_tenant_id")
        ),
        sa.PrimaryKeyConstraint("document_id", "number", name=op.f("pk_document_versions")),
    )
    op.create_table(
        "orders",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("reference", sa.String(length=200), nullable=False),
        sa.Column("state", sa.String(length=24), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("rack_id", sa.String(length=32), nullable=True),
        sa.Column("plan_id", sa.String(length=32), nullable=True),
        sa.Column("accepted_plan_id", sa.String(length=32), nullable=True),
        sa.Column("account", sa.Text(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.Column("changed_at", UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["rack_id"], ["racks.id"], name=op.f("fk_orders_rack_id")),
        sa.ForeignKeyConstraint(["tenant_id"], ["tenants.id"], name=op.f("fk_orders_tenant_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_orders")),
    )
    with op.batch_alter_table("orders", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_orders_tenant_id_created_at_id"),
            ["tenant_id", "created_at", "id"],
            unique=False,
        )
        batch_op.create_index(
            batch_op.f("ix_orders_tenant_id_state"), ["tenant_id", "state"], unique=False
        )

    op.create_table(
        "webhook_messages",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("webhook_id", sa.String(length=32), nullable=False),
        sa.Column("event", sa.String(length=48), nullable=False),
        sa.Column("payload", sa.Text(), nullable=False),
        sa.Column("state", sa.String(length=16), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("next_attempt_at", UtcDateTime(), nullable=True),
        sa.Column("lease_until", UtcDateTime(), nullable=True),
        sa.Column("last_status", sa.Integer(), nullable=True),
        sa.Column("last_error", sa.Text(), nullable=True),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.Column("delivered_at", UtcDateTime(), nullable=True),
        sa.ForeignKeyConstraint(
            ["tenant_id"], ["tenants.id"], name=op.f("fk_webhook_messages_tenant_id")
        ),
        sa.ForeignKeyConstraint(
            ["webhook_id"], ["webhooks.id"], name=op.f("fk_webhook_messages_webhook_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_webhook_messages")),
    )
    with op.batch_alter_table("webhook_messages", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_webhook_messages_state_next_attempt_at"),
            ["state", "next_attempt_at"],
            unique=False,
        )
        batch_op.create_index(
            batch_op.f("ix_webhook_messages_tenant_id_created_at_id"),
            ["tenant_id", "created_at", "id"],
            unique=False,
        )

    op.create_table(
        "order_movements",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("order_id", sa.String(length=32), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.Column("created_by", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(
            ["order_id"], ["orders.id"], name=op.f("fk_order_movements_order_id")
        ),
        sa.ForeignKeyConstraint(
            ["tenant_id"], ["tenants.id"], name=op.f("fk_order_movements_tenant_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_order_movements")),
    )
    with op.batch_alter_table("order_movements", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_order_movements_order_id_created_at"),
            ["order_id", "created_at"],
            unique=False,
        )

    op.create_table(
        "plans",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("order_id", sa.String(length=32), nullable=True),
        sa.Column("adds_to", sa.String(length=32), nullable=True),
        sa.Column("request", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("solution", sa.Text(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("total", sa.String(length=40), nullable=False),
        sa.Column("proved", sa.Boolean(), nullable=False),
        sa.Column("solve_seconds", sa.Float(), nullable=False),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["order_id"], ["orders.id"], name=op.f("fk_plans_order_id")),
        sa.ForeignKeyConstraint(["tenant_id"], ["tenants.id"], name=op.f("fk_plans_tenant_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plans")),
    )
    with op.batch_alter_table("plans", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_plans_order_id"), ["order_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_plans_tenant_id_created_at_id"),
            ["tenant_id", "created_at", "id"],
            unique=False,
        )

    op.create_table(
        "jobs",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("tenant_id", sa.String(length=64), nullable=False),
        sa.Column("order_id", sa.String(length=32), nullable=True),
        sa.Column("plan_id", sa.String(length=32), nullable=True),
        sa.Column("status", sa.String(length=16), nullable=False),
        sa.Column("priority", sa.Integer(), nullable=False),
        sa.Column("openings", sa.Integer(), nullable=False),
        sa.Column("attempt", sa.Integer(), nullable=False),
        sa.Column("worker", sa.String(length=64), nullable=True),
        sa.Column("lease_until", UtcDateTime(), nullable=True),
        sa.Column("cancel_requested", sa.Boolean(), nullable=False),
        sa.Column("request", sa.Text(), nullable=False),
        sa.Column("progress", sa.Text(), nullable=True),
        sa.Column("failure", sa.Text(), nullable=True),
        sa.Column("trace_context", sa.Text(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", UtcDateTime(), nullable=False),
        sa.Column("started_at", UtcDateTime(), nullable=True),
        sa.Column("finished_at", UtcDateTime(), nullable=True),
        sa.ForeignKeyConstraint(["order_id"], ["orders.id"], name=op.f("fk_jobs_order_id")),
        sa.ForeignKeyConstraint(["plan_id"], ["plans.id"], name=op.f("fk_jobs_plan_id")),
        sa.ForeignKeyConstraint(["tenant_id"], ["tenants.id"], name=op.f("fk_jobs_tenant_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
    )
    with op.batch_alter_table("jobs", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_jobs_status_priority_created_at"),
            ["status", "priority", "created_at"],
            unique=False,
        )
        batch_op.create_index(
            batch_op.f("ix_jobs_tenant_id_created_at_id"),
            ["tenant_id", "created_at", "id"],
            unique=False,
        )
