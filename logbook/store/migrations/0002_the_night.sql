-- The night: clocks of camera bodies, tracks, answers of sessions, and how keepers were judged.
-- Add what a night session needs; nothing that was written is changed.

ALTER TABLE keeper ADD COLUMN gps_utc TEXT;
ALTER TABLE keeper ADD COLUMN sharpness TEXT;
CREATE TABLE body_clock (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    trip_id VARCHAR NOT NULL,
    body VARCHAR NOT NULL,
    ahead_s INTEGER NOT NULL,
    zone VARCHAR,
    evidence TEXT NOT NULL,
    since TEXT,
    note VARCHAR,
    PRIMARY KEY (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id)
);
CREATE TABLE track (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    trip_id VARCHAR NOT NULL,
    file VARCHAR NOT NULL,
    hash VARCHAR NOT NULL,
    title VARCHAR,
    points VARCHAR NOT NULL,
    doubts TEXT NOT NULL,
    PRIMARY KEY (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id),
    UNIQUE (trip_id, hash)
);
CREATE TABLE night_answer (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    trip_id VARCHAR NOT NULL,
    on_date DATE NOT NULL,
    key VARCHAR NOT NULL,
    answer VARCHAR NOT NULL,
    PRIMARY KEY (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id),
    UNIQUE (trip_id, on_date, key)
);
CREATE INDEX ix_body_clock_trip_id ON body_clock (trip_id);
CREATE INDEX ix_track_trip_id ON track (trip_id);
CREATE INDEX ix_night_answer_trip_id ON night_answer (trip_id);
