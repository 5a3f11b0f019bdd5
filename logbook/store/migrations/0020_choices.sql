-- What the photographer chose for reports: the opening, who does not see a picture, the order for an audience.
-- Add the columns; of what is there nothing was chosen.

ALTER TABLE keeper ADD COLUMN opening BOOLEAN;
ALTER TABLE keeper ADD COLUMN hidden_from TEXT DEFAULT '[]' NOT NULL;
ALTER TABLE trip ADD COLUMN client_order TEXT DEFAULT '[]' NOT NULL;
ALTER TABLE trip ADD COLUMN students_order TEXT DEFAULT '[]' NOT NULL;
