"""Seals: a digest of each record as it was written; an update seals every record when it is done."""

from alembic import op

from logbook.store.seals import create_tables

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables; their triggers are made anew after every update of a book."""
    create_tables(op.get_bind())
