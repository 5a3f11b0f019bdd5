-- Pictures: what was measured of their sharpness, by the hash of their content.
-- Make the empty table: pictures that are in the book are measured when somebody asks for it.

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
    proposed TEXT
);
