-- Changes: what commands did, to take it back; and which versions are superseded, to merge two books.
-- Make the tables; their triggers are made anew after every update of a book.

CREATE TABLE change (
    id INTEGER PRIMARY KEY, run TEXT NOT NULL, command TEXT NOT NULL, at TEXT NOT NULL,
    upto INTEGER NOT NULL, taken_in TEXT
);
CREATE TABLE change_row (
    seq INTEGER PRIMARY KEY, verb TEXT NOT NULL, table_name TEXT NOT NULL, row_id TEXT NOT NULL
);
CREATE TABLE change_value (
    seq INTEGER NOT NULL, name TEXT NOT NULL, value, PRIMARY KEY (seq, name)
) WITHOUT ROWID;
CREATE TABLE earlier (
    seq INTEGER PRIMARY KEY, id TEXT NOT NULL, version TEXT NOT NULL, UNIQUE (id, version)
);
CREATE TABLE removal (
    seq INTEGER PRIMARY KEY, id TEXT NOT NULL, table_name TEXT NOT NULL, at TEXT NOT NULL, became TEXT
);
CREATE INDEX removal_id ON removal (id);
