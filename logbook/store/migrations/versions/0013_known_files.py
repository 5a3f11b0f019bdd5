"""Picture files: what each held when this machine last read it whole; keepers are found by their path."""

from alembic import op

from logbook.store.known_files import create_table

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the empty table: what an older book says of its files is a claim until they were read again."""
    create_table(op.get_bind())
    op.create_index("ix_keeper_path", "keeper", ["path"])
