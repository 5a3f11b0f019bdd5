-- Lines of plan files are remembered beside those of day files; a plan is of no one day.
-- Let the date of a line be unknown, which SQLite does for a new table only; the lines that are there keep theirs.

DROP INDEX ix_day_line_record_id;
DROP INDEX ix_day_line_trip_id;
ALTER TABLE day_line RENAME TO day_line_before;
CREATE TABLE day_line (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    trip_id VARCHAR NOT NULL,
    on_date DATE,
    file VARCHAR NOT NULL,
    section VARCHAR NOT NULL,
    line INTEGER NOT NULL,
    text VARCHAR NOT NULL,
    noun VARCHAR NOT NULL,
    record_id VARCHAR NOT NULL,
    seen VARCHAR NOT NULL,
    PRIMARY KEY (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id)
);
INSERT INTO day_line SELECT * FROM day_line_before ORDER BY rowid;
DROP TABLE day_line_before;
CREATE INDEX ix_day_line_record_id ON day_line (record_id);
CREATE INDEX ix_day_line_trip_id ON day_line (trip_id);

DROP INDEX ix_loose_line_trip_id;
ALTER TABLE loose_line RENAME TO loose_line_before;
CREATE TABLE loose_line (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    trip_id VARCHAR NOT NULL,
    on_date DATE,
    file VARCHAR NOT NULL,
    line INTEGER NOT NULL,
    text VARCHAR NOT NULL,
    why VARCHAR NOT NULL,
    PRIMARY KEY (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id)
);
INSERT INTO loose_line SELECT * FROM loose_line_before ORDER BY rowid;
DROP TABLE loose_line_before;
CREATE INDEX ix_loose_line_trip_id ON loose_line (trip_id);
