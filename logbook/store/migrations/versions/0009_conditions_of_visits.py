"""Conditions may name the visit they were observed on; those that are there name none."""

from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the column; in SQL, because SQLite takes a reference only together with its column."""
    op.execute("ALTER TABLE condition ADD COLUMN visit_id VARCHAR REFERENCES visit (id)")
    op.create_index("ix_condition_visit_id", "condition", ["visit_id"])
