"""The night: clocks of camera bodies, tracks, answers of sessions, and how keepers were judged."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add what a night session needs; nothing that was written is changed."""
    op.add_column("keeper", sa.Column("gps_utc", sa.Text(), nullable=True))
    op.add_column("keeper", sa.Column("sharpness", sa.Text(), nullable=True))
    op.create_table(
        "body_clock",
        *_record(),
        sa.Column("body", sa.String(), nullable=False),
        sa.Column("ahead_s", sa.Integer(), nullable=False),
        sa.Column("zone", sa.String(), nullable=True),
        sa.Column("evidence", sa.Text(), nullable=False),
        sa.Column("since", sa.Text(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        *_keys(),
    )
    op.create_table(
        "track",
        *_record(),
        sa.Column("file", sa.String(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=True),
        sa.Column("points", sa.String(), nullable=False),
        sa.Column("doubts", sa.Text(), nullable=False),
        *_keys("hash"),
    )
    op.create_table(
        "night_answer",
        *_record(),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("answer", sa.String(), nullable=False),
        *_keys("on_date", "key"),
    )
    for table in ("body_clock", "track", "night_answer"):
        op.create_index(f"ix_{table}_trip_id", table, ["trip_id"])


def _record() -> list[sa.Column[str]]:
    names = ("id", "created", "updated", "provenance", "trip_id")
    texts = {"id", "trip_id"}
    return [sa.Column(name, sa.String() if name in texts else sa.Text(), nullable=False) for name in names]


def _keys(*unique: str) -> list[sa.Constraint]:
    keys: list[sa.Constraint] = [
        sa.PrimaryKeyConstraint("id"),
        sa.ForeignKeyConstraint(["trip_id"], ["trip.id"]),
    ]
    return [*keys, sa.UniqueConstraint("trip_id", *unique)] if unique else keys
