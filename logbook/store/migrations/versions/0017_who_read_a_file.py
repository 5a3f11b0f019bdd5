"""Picture files: by which reader each was read, so that an unchanged one waits for a better one."""

from alembic import op

from logbook.store.known_files import TABLE, create_table

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table anew: what it held may be lost at any time."""
    op.execute(f"DROP TABLE {TABLE}")
    create_table(op.get_bind())
