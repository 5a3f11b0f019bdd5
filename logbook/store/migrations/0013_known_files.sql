-- Picture files: what each held when this machine last read it whole; keepers are found by their path.
-- Make the empty table: what an older book says of its files is a claim until they were read again.

CREATE TABLE known_file (
    path TEXT PRIMARY KEY,
    hash TEXT NOT NULL,
    state TEXT NOT NULL
) WITHOUT ROWID;
CREATE INDEX ix_keeper_path ON keeper (path);
