"""Pictures: how bright each came out, beside what was measured of its sharpness."""

from alembic import op

from logbook.store.measures import remake_table

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table anew: what was measured by the earlier method is measured again when somebody asks."""
    remake_table(op.get_bind())
