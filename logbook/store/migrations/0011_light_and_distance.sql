-- Keepers: the light that the camera measured, and how far the subject was.
-- Add the columns; keepers that are there learn them when their files are imported again.

ALTER TABLE keeper ADD COLUMN brightness_ev FLOAT;
ALTER TABLE keeper ADD COLUMN metered_ev100 FLOAT;
ALTER TABLE keeper ADD COLUMN subject_distance_m FLOAT;
ALTER TABLE keeper ADD COLUMN subject_distance_range TEXT;
