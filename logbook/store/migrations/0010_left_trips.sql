-- Trips that a keeper was moved out of, so that the same file is not taken into them again.
-- Add the list; keepers that are there were never moved.

ALTER TABLE keeper ADD COLUMN left_trip_ids TEXT DEFAULT '[]' NOT NULL;
