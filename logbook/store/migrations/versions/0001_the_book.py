"""The book: every noun, its vocabularies and where its values came from."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make all tables."""
    op.create_table(
        "kit",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("slug", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("owned", sa.Boolean(), nullable=True),
        sa.Column("filter_name", sa.String(), nullable=True),
        sa.Column("body", sa.String(), nullable=True),
        sa.Column("sensor_width_mm", sa.Float(), nullable=True),
        sa.Column("sensor_height_mm", sa.Float(), nullable=True),
        sa.Column("focal_min_mm", sa.Float(), nullable=True),
        sa.Column("focal_max_mm", sa.Float(), nullable=True),
        sa.Column("stabilisation_stops", sa.Float(), nullable=True),
        sa.Column("notes", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("slug"),
    )
    op.create_table(
        "site",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("slug", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("kinds", sa.Text(), nullable=False),
        sa.Column("region", sa.String(), nullable=True),
        sa.Column("latitude_deg", sa.Float(), nullable=True),
        sa.Column("longitude_deg", sa.Float(), nullable=True),
        sa.Column("elevation_m", sa.Float(), nullable=True),
        sa.Column("zone", sa.String(), nullable=True),
        sa.Column("footing", sa.Text(), nullable=True),
        sa.Column("access", sa.String(), nullable=True),
        sa.Column("walk_min", sa.Integer(), nullable=True),
        sa.Column("hazards", sa.String(), nullable=True),
        sa.Column("location_shown", sa.Text(), nullable=True),
        sa.Column("notes", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("slug"),
    )
    op.create_table(
        "trip",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("slug", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("purpose", sa.String(), nullable=True),
        sa.Column("audience", sa.Text(), nullable=True),
        sa.Column("client", sa.String(), nullable=True),
        sa.Column("brief", sa.String(), nullable=True),
        sa.Column("starts_on", sa.Date(), nullable=True),
        sa.Column("ends_on", sa.Date(), nullable=True),
        sa.Column("zone", sa.String(), nullable=True),
        sa.Column("day_ends_at", sa.Time(), nullable=False),
        sa.Column("location_shown", sa.Text(), nullable=False),
        sa.Column("summary", sa.String(), nullable=True),
        sa.Column("next_visit", sa.String(), nullable=True),
        sa.Column("credit", sa.String(), nullable=True),
        sa.Column("rights", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("slug"),
    )
    op.create_table(
        "day",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("trip_id", sa.String(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("zone", sa.String(), nullable=True),
        sa.Column("journal", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["trip_id"],
            ["trip.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("trip_id", "on_date"),
    )
    op.create_index(op.f("ix_day_trip_id"), "day", ["trip_id"], unique=False)
    op.create_table(
        "day_line",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("trip_id", sa.String(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("file", sa.String(), nullable=False),
        sa.Column("section", sa.String(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("noun", sa.String(), nullable=False),
        sa.Column("record_id", sa.String(), nullable=False),
        sa.Column("seen", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["trip_id"],
            ["trip.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index(op.f("ix_day_line_record_id"), "day_line", ["record_id"], unique=False)
    op.create_index(op.f("ix_day_line_trip_id"), "day_line", ["trip_id"], unique=False)
    op.create_table(
        "keeper_set",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("trip_id", sa.String(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("keeper_ids", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["trip_id"],
            ["trip.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index(op.f("ix_keeper_set_trip_id"), "keeper_set", ["trip_id"], unique=False)
    op.create_table(
        "loose_line",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("trip_id", sa.String(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("file", sa.String(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["trip_id"],
            ["trip.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index(op.f("ix_loose_line_trip_id"), "loose_line", ["trip_id"], unique=False)
    op.create_table(
        "packed",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("trip_id", sa.String(), nullable=False),
        sa.Column("item_id", sa.String(), nullable=False),
        sa.Column("packing", sa.Text(), nullable=False),
        sa.Column("why", sa.String(), nullable=True),
        sa.Column("used", sa.Boolean(), nullable=True),
        sa.ForeignKeyConstraint(
            ["item_id"],
            ["kit.id"],
        ),
        sa.ForeignKeyConstraint(
            ["trip_id"],
            ["trip.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("trip_id", "item_id"),
    )
    op.create_index(op.f("ix_packed_item_id"), "packed", ["item_id"], unique=False)
    op.create_index(op.f("ix_packed_trip_id"), "packed", ["trip_id"], unique=False)
    op.create_table(
        "viewpoint",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("slug", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("site_id", sa.String(), nullable=False),
        sa.Column("latitude_deg", sa.Float(), nullable=True),
        sa.Column("longitude_deg", sa.Float(), nullable=True),
        sa.Column("elevation_m", sa.Float(), nullable=True),
        sa.Column("facing_deg", sa.Float(), nullable=True),
        sa.Column("looks_at", sa.String(), nullable=True),
        sa.Column("tripod_rule", sa.Text(), nullable=False),
        sa.Column("footing", sa.Text(), nullable=True),
        sa.Column("access", sa.String(), nullable=True),
        sa.Column("hazards", sa.String(), nullable=True),
        sa.Column("location_shown", sa.Text(), nullable=True),
        sa.Column("notes", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["site_id"],
            ["site.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("slug"),
    )
    op.create_index(op.f("ix_viewpoint_site_id"), "viewpoint", ["site_id"], unique=False)
    op.create_table(
        "condition",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("slug", sa.String(), nullable=False),
        sa.Column("trip_id", sa.String(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("at", sa.Time(), nullable=True),
        sa.Column("site_id", sa.String(), nullable=True),
        sa.Column("viewpoint_id", sa.String(), nullable=True),
        sa.Column("level", sa.String(), nullable=True),
        sa.Column("direction", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("source", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["site_id"],
            ["site.id"],
        ),
        sa.ForeignKeyConstraint(
            ["trip_id"],
            ["trip.id"],
        ),
        sa.ForeignKeyConstraint(
            ["viewpoint_id"],
            ["viewpoint.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("slug"),
    )
    op.create_index(op.f("ix_condition_site_id"), "condition", ["site_id"], unique=False)
    op.create_index(op.f("ix_condition_trip_id"), "condition", ["trip_id"], unique=False)
    op.create_index(op.f("ix_condition_viewpoint_id"), "condition", ["viewpoint_id"], unique=False)
    op.create_table(
        "shot",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("slug", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("trip_id", sa.String(), nullable=False),
        sa.Column("viewpoint_id", sa.String(), nullable=True),
        sa.Column("intent", sa.String(), nullable=True),
        sa.Column("on_date", sa.Date(), nullable=True),
        sa.Column("window_from", sa.Time(), nullable=True),
        sa.Column("window_to", sa.Time(), nullable=True),
        sa.Column("technique", sa.String(), nullable=True),
        sa.Column("focal_mm", sa.Float(), nullable=True),
        sa.Column("f_number", sa.Float(), nullable=True),
        sa.Column("exposure_s", sa.Text(), nullable=True),
        sa.Column("iso", sa.Integer(), nullable=True),
        sa.Column("filters", sa.Text(), nullable=True),
        sa.Column("support", sa.Text(), nullable=True),
        sa.Column("priority", sa.Text(), nullable=False),
        sa.Column("fallback_for_id", sa.String(), nullable=True),
        sa.Column("notes", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["fallback_for_id"],
            ["shot.id"],
        ),
        sa.ForeignKeyConstraint(
            ["trip_id"],
            ["trip.id"],
        ),
        sa.ForeignKeyConstraint(
            ["viewpoint_id"],
            ["viewpoint.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("slug"),
    )
    op.create_index(op.f("ix_shot_fallback_for_id"), "shot", ["fallback_for_id"], unique=False)
    op.create_index(op.f("ix_shot_trip_id"), "shot", ["trip_id"], unique=False)
    op.create_index(op.f("ix_shot_viewpoint_id"), "shot", ["viewpoint_id"], unique=False)
    op.create_table(
        "visit",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("slug", sa.String(), nullable=False),
        sa.Column("trip_id", sa.String(), nullable=False),
        sa.Column("viewpoint_id", sa.String(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("arrived_at", sa.Time(), nullable=True),
        sa.Column("departed_at", sa.Time(), nullable=True),
        sa.Column("purpose", sa.Text(), nullable=True),
        sa.Column("tries", sa.Integer(), nullable=True),
        sa.Column("support", sa.Text(), nullable=True),
        sa.Column("journal", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["trip_id"],
            ["trip.id"],
        ),
        sa.ForeignKeyConstraint(
            ["viewpoint_id"],
            ["viewpoint.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("slug"),
    )
    op.create_index(op.f("ix_visit_trip_id"), "visit", ["trip_id"], unique=False)
    op.create_index(op.f("ix_visit_viewpoint_id"), "visit", ["viewpoint_id"], unique=False)
    op.create_table(
        "keeper",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("slug", sa.String(), nullable=False),
        sa.Column("trip_id", sa.String(), nullable=False),
        sa.Column("file", sa.String(), nullable=False),
        sa.Column("path", sa.String(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.Column("size_bytes", sa.Integer(), nullable=False),
        sa.Column("format", sa.String(), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=True),
        sa.Column("height_px", sa.Integer(), nullable=True),
        sa.Column("orientation", sa.Integer(), nullable=True),
        sa.Column("taken_text", sa.String(), nullable=True),
        sa.Column("taken_local", sa.Text(), nullable=True),
        sa.Column("utc_offset_text", sa.String(), nullable=True),
        sa.Column("zone", sa.String(), nullable=True),
        sa.Column("clock_offset_s", sa.Integer(), nullable=False),
        sa.Column("clock_evidence", sa.Text(), nullable=True),
        sa.Column("taken_utc", sa.Text(), nullable=True),
        sa.Column("exposure_s", sa.Text(), nullable=True),
        sa.Column("f_number", sa.Float(), nullable=True),
        sa.Column("iso", sa.Integer(), nullable=True),
        sa.Column("bias_stops", sa.Float(), nullable=True),
        sa.Column("focal_mm", sa.Float(), nullable=True),
        sa.Column("focal_35mm", sa.Float(), nullable=True),
        sa.Column("exposure_mode", sa.Text(), nullable=True),
        sa.Column("auto_bracket", sa.Boolean(), nullable=True),
        sa.Column("metering", sa.Text(), nullable=True),
        sa.Column("flash_fired", sa.Boolean(), nullable=True),
        sa.Column("body", sa.String(), nullable=True),
        sa.Column("lens", sa.String(), nullable=True),
        sa.Column("latitude_deg", sa.Float(), nullable=True),
        sa.Column("longitude_deg", sa.Float(), nullable=True),
        sa.Column("altitude_m", sa.Float(), nullable=True),
        sa.Column("direction_deg", sa.Float(), nullable=True),
        sa.Column("direction_is_magnetic", sa.Boolean(), nullable=True),
        sa.Column("rating", sa.Integer(), nullable=True),
        sa.Column("doubts", sa.Text(), nullable=False),
        sa.Column("filters", sa.Text(), nullable=True),
        sa.Column("support", sa.Text(), nullable=True),
        sa.Column("viewpoint_id", sa.String(), nullable=True),
        sa.Column("shot_id", sa.String(), nullable=True),
        sa.Column("caption", sa.String(), nullable=True),
        sa.Column("alternative", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["shot_id"],
            ["shot.id"],
        ),
        sa.ForeignKeyConstraint(
            ["trip_id"],
            ["trip.id"],
        ),
        sa.ForeignKeyConstraint(
            ["viewpoint_id"],
            ["viewpoint.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("trip_id", "hash"),
        sa.UniqueConstraint("trip_id", "slug"),
    )
    op.create_index(op.f("ix_keeper_hash"), "keeper", ["hash"], unique=False)
    op.create_index(op.f("ix_keeper_shot_id"), "keeper", ["shot_id"], unique=False)
    op.create_index(op.f("ix_keeper_trip_id"), "keeper", ["trip_id"], unique=False)
    op.create_index(op.f("ix_keeper_viewpoint_id"), "keeper", ["viewpoint_id"], unique=False)
    op.create_table(
        "lesson",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("slug", sa.String(), nullable=False),
        sa.Column("verb", sa.Text(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("trip_id", sa.String(), nullable=True),
        sa.Column("on_date", sa.Date(), nullable=True),
        sa.Column("site_id", sa.String(), nullable=True),
        sa.Column("viewpoint_id", sa.String(), nullable=True),
        sa.Column("shot_id", sa.String(), nullable=True),
        sa.Column("technique", sa.String(), nullable=True),
        sa.Column("shown_to", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["shot_id"],
            ["shot.id"],
        ),
        sa.ForeignKeyConstraint(
            ["site_id"],
            ["site.id"],
        ),
        sa.ForeignKeyConstraint(
            ["trip_id"],
            ["trip.id"],
        ),
        sa.ForeignKeyConstraint(
            ["viewpoint_id"],
            ["viewpoint.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("slug"),
    )
    op.create_index(op.f("ix_lesson_shot_id"), "lesson", ["shot_id"], unique=False)
    op.create_index(op.f("ix_lesson_site_id"), "lesson", ["site_id"], unique=False)
    op.create_index(op.f("ix_lesson_trip_id"), "lesson", ["trip_id"], unique=False)
    op.create_index(op.f("ix_lesson_viewpoint_id"), "lesson", ["viewpoint_id"], unique=False)
    op.create_table(
        "outcome",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("created", sa.Text(), nullable=False),
        sa.Column("updated", sa.Text(), nullable=False),
        sa.Column("provenance", sa.Text(), nullable=False),
        sa.Column("shot_id", sa.String(), nullable=False),
        sa.Column("word", sa.Text(), nullable=False),
        sa.Column("reasons", sa.Text(), nullable=False),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("replaced_by_shot_id", sa.String(), nullable=True),
        sa.Column("replaced_by_keeper_id", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["replaced_by_keeper_id"],
            ["keeper.id"],
        ),
        sa.ForeignKeyConstraint(
            ["replaced_by_shot_id"],
            ["shot.id"],
        ),
        sa.ForeignKeyConstraint(
            ["shot_id"],
            ["shot.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("shot_id"),
    )
    op.create_index(
        op.f("ix_outcome_replaced_by_keeper_id"), "outcome", ["replaced_by_keeper_id"], unique=False
    )
    op.create_index(op.f("ix_outcome_replaced_by_shot_id"), "outcome", ["replaced_by_shot_id"], unique=False)
