"""Documents of the search index are found by place, day and kind, for days of thousands of observations."""

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Do nothing here: the index is made anew after every update."""
