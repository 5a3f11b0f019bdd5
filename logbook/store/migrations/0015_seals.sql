-- Seals: a digest of each record as it was written; an update seals every record when it is done.
-- Make the tables; their triggers are made anew after every update of a book.

CREATE TABLE seal (
    table_name TEXT NOT NULL, id TEXT NOT NULL, digest BLOB NOT NULL, PRIMARY KEY (table_name, id)
) WITHOUT ROWID;
CREATE TABLE unsealed (
    table_name TEXT NOT NULL, id TEXT NOT NULL, PRIMARY KEY (table_name, id)
) WITHOUT ROWID;
