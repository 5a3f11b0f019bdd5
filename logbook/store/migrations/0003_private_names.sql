-- Private names: people whom notes of a trip may name and whom its reports do not.
-- Add the list of names to trips; those there already have none.

ALTER TABLE trip ADD COLUMN private_names TEXT DEFAULT '[]' NOT NULL;
