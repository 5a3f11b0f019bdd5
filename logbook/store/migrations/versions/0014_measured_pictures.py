"""Pictures: what was measured of their sharpness, by the hash of their content."""

from alembic import op

from logbook.store.measures import create_table

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the empty table: pictures that are in the book are measured when somebody asks for it."""
    create_table(op.get_bind())
