-- How the photographer is reached, and what a place costs: both stand in reports.
-- Add the columns; nobody has said either yet.

ALTER TABLE trip ADD COLUMN contact VARCHAR;
ALTER TABLE site ADD COLUMN cost VARCHAR;
