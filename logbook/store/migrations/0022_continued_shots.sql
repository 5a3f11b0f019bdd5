-- A shot may continue one of an earlier trip.
-- Add the column; no shot that is there says that it does.

ALTER TABLE shot ADD COLUMN continues_id VARCHAR REFERENCES shot (id);
CREATE INDEX ix_shot_continues_id ON shot (continues_id);
