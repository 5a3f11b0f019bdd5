"""Two copies of a book into one: rows as SQLite holds them, joined by their ids and their versions."""
