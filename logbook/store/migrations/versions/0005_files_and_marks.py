"""Keepers: the other files of a frame, and what an editor wrote about a picture."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the columns; keepers that are there have one file and no marks until they are taken in again."""
    for name in ("also", "keywords"):
        op.add_column("keeper", sa.Column(name, sa.Text(), nullable=False, server_default="[]"))
    for name in ("label", "place", "credit", "copyright"):
        op.add_column("keeper", sa.Column(name, sa.String(), nullable=True))
    op.create_index("ix_keeper_taken_text", "keeper", ["taken_text"])
