"""Keepers: the light that the camera measured, and how far the subject was."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the columns; keepers that are there learn them when their files are imported again."""
    for name in ("brightness_ev", "metered_ev100", "subject_distance_m"):
        op.add_column("keeper", sa.Column(name, sa.Float(), nullable=True))
    op.add_column("keeper", sa.Column("subject_distance_range", sa.Text(), nullable=True))
