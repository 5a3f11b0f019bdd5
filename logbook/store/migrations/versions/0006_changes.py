"""Changes: what commands did, to take it back; and which versions are superseded, to merge two books."""

from alembic import op

from logbook.store.changes.objects import create_tables

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables; their triggers are made anew after every update of a book."""
    create_tables(op.get_bind())
