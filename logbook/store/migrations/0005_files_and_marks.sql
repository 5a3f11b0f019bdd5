-- Keepers: the other files of a frame, and what an editor wrote about a picture.
-- Add the columns; keepers that are there have one file and no marks until they are taken in again.

ALTER TABLE keeper ADD COLUMN also TEXT DEFAULT '[]' NOT NULL;
ALTER TABLE keeper ADD COLUMN keywords TEXT DEFAULT '[]' NOT NULL;
ALTER TABLE keeper ADD COLUMN label VARCHAR;
ALTER TABLE keeper ADD COLUMN place VARCHAR;
ALTER TABLE keeper ADD COLUMN credit VARCHAR;
ALTER TABLE keeper ADD COLUMN copyright VARCHAR;
CREATE INDEX ix_keeper_taken_text ON keeper (taken_text);
