"""Viewpoints: the horizon over which sun and moon rise there."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the column; of viewpoints that are there nobody told the horizon."""
    op.add_column("viewpoint", sa.Column("horizon", sa.Text(), nullable=True))
