"""Every table. Each row but that of a tenant belongs to a tenant, and is found by its tenant alone.

`revision` counts the changes of a row; the entity tag of its resource is made of it. Bodies are
JSON as text, written and read by the service: the store never looks into them.
"""

from sqlalchemy import (
    Boolean,
    Column,
    Date,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    PrimaryKeyConstraint,
    String,
    Table,
    Text,
    UniqueConstraint,
)

from service.store.table_parts import IDENTIFIER, METADATA, identifier, moment, revision, tenant

__all__ = ["METADATA"]
"""What the history of the tables and whoever copies them all need; the rest is imported by name."""

TENANTS = Table(
    "tenants",
    METADATA,
    Column("id", String(64), primary_key=True),
    moment("created_at"),
)

API_KEYS = Table(
    "api_keys",
    METADATA,
    identifier(),
    tenant(),
    Column("name", String(64), nullable=False),
    # SHA-256 of the key in hexadecimal digits; the key itself is shown once and never kept.
    Column("digest", String(64), nullable=False, unique=True),
    # Separated by spaces.
    Column("scopes", Text, nullable=False),
    moment("created_at"),
    moment("expires_at", nullable=True),
    moment("revoked_at", nullable=True),
    moment("last_used_at", nullable=True),
    # The key that this one was made to follow.
    Column("follows", String(IDENTIFIER), nullable=True),
)

DOCUMENTS = Table(
    "documents",
    METADATA,
    identifier(),
    tenant(),
    # catalogue, rule-set, profile
    Column("kind", String(16), nullable=False),
    Column("name", String(64), nullable=False),
    Column("latest", Integer, nullable=False),
    revision(),
    moment("created_at"),
    moment("changed_at"),
    UniqueConstraint("tenant_id", "kind", "name"),
)

DOCUMENT_VERSIONS = Table(
    "document_versions",
    METADATA,
    Column("document_id", String(IDENTIFIER), ForeignKey("documents.id"), nullable=False),
    Column("number", Integer, nullable=False),
    tenant(),
    Column("body", Text, nullable=False),
    # SHA-256 of the body.
    Column("digest", String(64), nullable=False),
    Column("valid_from", Date, nullable=True),
    Column("valid_until", Date, nullable=True),
    Column("remark", Text, nullable=False),
    moment("created_at"),
    Column("created_by", String(64), nullable=False),
    PrimaryKeyConstraint("document_id", "number"),
)

RACKS = Table(
    "racks",
    METADATA,
    identifier(),
    tenant(),
    Column("name", String(64), nullable=False),
    Column("body", Text, nullable=False),
    revision(),
    moment("created_at"),
    moment("changed_at"),
    UniqueConstraint("tenant_id", "name"),
)

ORDERS = Table(
    "orders",
    METADATA,
    identifier(),
    tenant(),
    Column("reference", String(200), nullable=False),
    # As `optimiser/domain/order_states.py` names them.
    Column("state", String(24), nullable=False),
    # As it was sent, with references to stored documents.
    Column("body", Text, nullable=False),
    Column("rack_id", String(IDENTIFIER), ForeignKey("racks.id"), nullable=True),
    # The plan that stands for the order as it is now, and the one that was accepted.
    Column("plan_id", String(IDENTIFIER), nullable=True),
    Column("accepted_plan_id", String(IDENTIFIER), nullable=True),
    # What was bought, received, cut and returned, once a plan is accepted.
    Column("account", Text, nullable=True),
    # The priority of openings, and the terms on which suppliers take goods back.
    Column("terms", Text, nullable=False, server_default="{}"),
    # The job whose plan the order waits for: another one's is not attached to it.
    Column("asked", String(IDENTIFIER), nullable=True),
    # A change of the accepted order that is not accepted yet.
    Column("pending_change", Text, nullable=True),
    revision(),
    moment("created_at"),
    moment("changed_at"),
    Index(None, "tenant_id", "created_at", "id"),
    Index(None, "tenant_id", "state"),
)

ORDER_MOVEMENTS = Table(
    "order_movements",
    METADATA,
    identifier(),
    tenant(),
    Column("order_id", String(IDENTIFIER), ForeignKey("orders.id"), nullable=False),
    # delivery, cutting, return
    Column("kind", String(16), nullable=False),
    Column("body", Text, nullable=False),
    moment("created_at"),
    Column("created_by", String(64), nullable=False),
    Index(None, "order_id", "created_at"),
)

PLANS = Table(
    "plans",
    METADATA,
    identifier(),
    tenant(),
    Column("order_id", String(IDENTIFIER), ForeignKey("orders.id"), nullable=True),
    # The plan that this one only adds to.
    Column("adds_to", String(IDENTIFIER), nullable=True),
    # The order by value, as it was planned: what every reference stood for is in it.
    Column("request", Text, nullable=False),
    # The answer as JSON and as text.
    Column("document", Text, nullable=False),
    Column("text", Text, nullable=False),
    # What the solver decided, as JSON: the plan is made of it again without a solver.
    Column("solution", Text, nullable=False),
    Column("currency", String(3), nullable=False),
    # A decimal as text: SQLite has none.
    Column("total", String(40), nullable=False),
    Column("proved", Boolean, nullable=False),
    Column("solve_seconds", Float, nullable=False),
    moment("created_at"),
    Index(None, "tenant_id", "created_at", "id"),
    Index(None, "order_id"),
)

STUDIES = Table(
    "studies",
    METADATA,
    identifier(),
    tenant(),
    Column("request", Text, nullable=False),
    Column("document", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("table_csv", Text, nullable=False),
    Column("currency", String(3), nullable=False),
    Column("points", Integer, nullable=False),
    Column("proved", Boolean, nullable=False),
    Column("solve_seconds", Float, nullable=False),
    moment("created_at"),
    Index(None, "tenant_id", "created_at", "id"),
)

JOBS = Table(
    "jobs",
    METADATA,
    identifier(),
    tenant(),
    Column("order_id", String(IDENTIFIER), ForeignKey("orders.id"), nullable=True),
    Column("plan_id", String(IDENTIFIER), ForeignKey("plans.id"), nullable=True),
    Column("study_id", String(IDENTIFIER), ForeignKey("studies.id"), nullable=True),
    Column("kind", String(16), nullable=False, server_default="plan"),
    # queued, running, finished, failed, cancelled
    Column("status", String(16), nullable=False),
    # Lower ones first: a small order does not wait behind a large one.
    Column("priority", Integer, nullable=False),
    Column("openings", Integer, nullable=False),
    # How often a worker has taken the job; a result counts only under the attempt that made it.
    Column("attempt", Integer, nullable=False),
    Column("worker", String(64), nullable=True),
    moment("lease_until", nullable=True),
    Column("cancel_requested", Boolean, nullable=False),
    Column("request", Text, nullable=False),
    # Phase, bound, best cost and gap, as JSON.
    Column("progress", Text, nullable=True),
    # Problem details, as JSON.
    Column("failure", Text, nullable=True),
    Column("trace_context", Text, nullable=True),
    revision(),
    moment("created_at"),
    moment("started_at", nullable=True),
    moment("finished_at", nullable=True),
    Index(None, "status", "priority", "created_at"),
    Index(None, "tenant_id", "created_at", "id"),
)

AUDIT_ENTRIES = Table(
    "audit_entries",
    METADATA,
    identifier(),
    tenant(),
    moment("at"),
    # The key that asked for the change, or what of the service did it.
    Column("who", String(64), nullable=False),
    Column("request_id", String(64), nullable=False),
    Column("action", String(48), nullable=False),
    Column("resource_kind", String(24), nullable=False),
    Column("resource_id", String(64), nullable=False),
    Column("before", Text, nullable=True),
    Column("after", Text, nullable=True),
    Index(None, "tenant_id", "at", "id"),
    Index(None, "tenant_id", "resource_kind", "resource_id"),
)

KEPT_ANSWERS = Table(
    "kept_answers",
    METADATA,
    tenant(),
    # As the client sent it in Idempotency-Key.
    Column("key", String(255), nullable=False),
    # SHA-256 of what was asked.
    Column("fingerprint", String(64), nullable=False),
    # Whoever works on the request holds the token until the lease ends.
    Column("token", String(IDENTIFIER), nullable=False),
    moment("lease_until"),
    Column("status", Integer, nullable=True),
    Column("headers", Text, nullable=True),
    Column("body", LargeBinary, nullable=True),
    moment("created_at"),
    PrimaryKeyConstraint("tenant_id", "key"),
    Index(None, "created_at"),
)

WEBHOOKS = Table(
    "webhooks",
    METADATA,
    identifier(),
    tenant(),
    Column("url", Text, nullable=False),
    # Needed to sign with; never part of an answer after the first. After a rotation the secret
    # before it follows, and the moment until which it signs too; separated by spaces.
    Column("secret", Text, nullable=False),
    # Kinds of event, separated by spaces; empty for all.
    Column("events", Text, nullable=False),
    Column("active", Boolean, nullable=False),
    revision(),
    moment("created_at"),
    moment("changed_at"),
)

WEBHOOK_MESSAGES = Table(
    "webhook_messages",
    METADATA,
    identifier(),
    tenant(),
    Column("webhook_id", String(IDENTIFIER), ForeignKey("webhooks.id"), nullable=False),
    Column("event", String(48), nullable=False),
    Column("payload", Text, nullable=False),
    # waiting, delivered, dead
    Column("state", String(16), nullable=False),
    Column("attempts", Integer, nullable=False),
    moment("next_attempt_at", nullable=True),
    moment("lease_until", nullable=True),
    Column("last_status", Integer, nullable=True),
    Column("last_error", Text, nullable=True),
    moment("created_at"),
    moment("delivered_at", nullable=True),
    Index(None, "state", "next_attempt_at"),
    Index(None, "tenant_id", "created_at", "id"),
)
