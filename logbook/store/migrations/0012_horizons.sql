-- Viewpoints: the horizon over which sun and moon rise there.
-- Add the column; of viewpoints that are there nobody told the horizon.

ALTER TABLE viewpoint ADD COLUMN horizon TEXT;
