"""Other names: what else people call a place; and words that a trip's reports may say all the same."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the lists; records that are there have none."""
    for table, name in (("site", "also_called"), ("viewpoint", "also_called"), ("trip", "may_say")):
        op.add_column(table, sa.Column(name, sa.Text(), nullable=False, server_default="[]"))
