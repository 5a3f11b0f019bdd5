"""The text index: `store.schema` makes its objects anew after every update; nothing to do here."""

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Nothing to change in what was written; the index is derived from it."""
