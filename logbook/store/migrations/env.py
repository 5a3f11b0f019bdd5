"""Alembic's entry: run the migrations on the connection that the store hands over."""

from alembic import context
from sqlmodel import SQLModel

from logbook.store import rows

assert rows.TripRow.__table__ is not None  # type: ignore[attr-defined]  # the rows are registered by import

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=SQLModel.metadata,
    render_as_batch=True,  # SQLite alters a table by making it anew
    transaction_per_migration=False,
)
context.run_migrations()
