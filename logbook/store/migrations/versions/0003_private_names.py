"""Private names: people whom notes of a trip may name and whom its reports do not."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the list of names to trips; those there already have none."""
    op.add_column("trip", sa.Column("private_names", sa.Text(), nullable=False, server_default="[]"))
