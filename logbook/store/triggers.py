"""What triggers see of a row, for all that keep themselves in step with the records."""

# A trigger's events, and the rows that it sees at each (SQLite, "CREATE TRIGGER").
EVENTS = {"insert": ("new",), "update": ("old", "new"), "delete": ("old",)}
