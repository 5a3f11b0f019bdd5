-- The version of a book is SQLite's own user_version alone; until here a table said it a second time.

DROP TABLE IF EXISTS alembic_version;
