-- Pictures: how bright each came out, beside what was measured of its sharpness.
-- Make the table anew: what was measured by the earlier method is measured again when somebody asks.

DROP TABLE measured_picture;
CREATE TABLE measured_picture (
    hash TEXT PRIMARY KEY,
    method INTEGER NOT NULL,
    edges TEXT,
    edge_px REAL,
    why TEXT,
    frames INTEGER NOT NULL DEFAULT 1,
    sharpest TEXT,
    lost_px REAL,
    along_deg REAL,
    proposed TEXT,
    shown_stops REAL
);
