-- Other names: what else people call a place; and words that a trip's reports may say all the same.
-- Add the lists; records that are there have none.

ALTER TABLE site ADD COLUMN also_called TEXT DEFAULT '[]' NOT NULL;
ALTER TABLE viewpoint ADD COLUMN also_called TEXT DEFAULT '[]' NOT NULL;
ALTER TABLE trip ADD COLUMN may_say TEXT DEFAULT '[]' NOT NULL;
