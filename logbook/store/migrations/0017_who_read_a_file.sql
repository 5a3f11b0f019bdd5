-- Picture files: by which reader each was read, so that an unchanged one waits for a better one.
-- Make the table anew: what it held may be lost at any time.

DROP TABLE known_file;
CREATE TABLE known_file (
    path TEXT PRIMARY KEY,
    hash TEXT NOT NULL,
    state TEXT NOT NULL,
    reader TEXT NOT NULL
) WITHOUT ROWID;
