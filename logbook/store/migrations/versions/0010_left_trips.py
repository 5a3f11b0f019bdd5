"""Trips that a keeper was moved out of, so that the same file is not taken into them again."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the list; keepers that are there were never moved."""
    op.add_column("keeper", sa.Column("left_trip_ids", sa.Text(), nullable=False, server_default="[]"))
