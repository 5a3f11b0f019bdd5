-- The book: every noun, its vocabularies and where its values came from.

CREATE TABLE kit (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    slug VARCHAR NOT NULL,
    title VARCHAR NOT NULL,
    kind TEXT NOT NULL,
    owned BOOLEAN,
    filter_name VARCHAR,
    body VARCHAR,
    sensor_width_mm FLOAT,
    sensor_height_mm FLOAT,
    focal_min_mm FLOAT,
    focal_max_mm FLOAT,
    stabilisation_stops FLOAT,
    notes VARCHAR,
    PRIMARY KEY (id),
    UNIQUE (slug)
);
CREATE TABLE site (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    slug VARCHAR NOT NULL,
    title VARCHAR NOT NULL,
    kinds TEXT NOT NULL,
    region VARCHAR,
    latitude_deg FLOAT,
    longitude_deg FLOAT,
    elevation_m FLOAT,
    zone VARCHAR,
    footing TEXT,
    access VARCHAR,
    walk_min INTEGER,
    hazards VARCHAR,
    location_shown TEXT,
    notes VARCHAR,
    PRIMARY KEY (id),
    UNIQUE (slug)
);
CREATE TABLE trip (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    slug VARCHAR NOT NULL,
    title VARCHAR NOT NULL,
    purpose VARCHAR,
    audience TEXT,
    client VARCHAR,
    brief VARCHAR,
    starts_on DATE,
    ends_on DATE,
    zone VARCHAR,
    day_ends_at TIME NOT NULL,
    location_shown TEXT NOT NULL,
    summary VARCHAR,
    next_visit VARCHAR,
    credit VARCHAR,
    rights VARCHAR,
    PRIMARY KEY (id),
    UNIQUE (slug)
);
CREATE TABLE day (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    trip_id VARCHAR NOT NULL,
    on_date DATE NOT NULL,
    zone VARCHAR,
    journal VARCHAR,
    PRIMARY KEY (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id),
    UNIQUE (trip_id, on_date)
);
CREATE INDEX ix_day_trip_id ON day (trip_id);
CREATE TABLE day_line (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    trip_id VARCHAR NOT NULL,
    on_date DATE NOT NULL,
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
CREATE INDEX ix_day_line_record_id ON day_line (record_id);
CREATE INDEX ix_day_line_trip_id ON day_line (trip_id);
CREATE TABLE keeper_set (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    trip_id VARCHAR NOT NULL,
    kind TEXT NOT NULL,
    keeper_ids TEXT NOT NULL,
    PRIMARY KEY (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id)
);
CREATE INDEX ix_keeper_set_trip_id ON keeper_set (trip_id);
CREATE TABLE loose_line (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    trip_id VARCHAR NOT NULL,
    on_date DATE NOT NULL,
    file VARCHAR NOT NULL,
    line INTEGER NOT NULL,
    text VARCHAR NOT NULL,
    why VARCHAR NOT NULL,
    PRIMARY KEY (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id)
);
CREATE INDEX ix_loose_line_trip_id ON loose_line (trip_id);
CREATE TABLE packed (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    trip_id VARCHAR NOT NULL,
    item_id VARCHAR NOT NULL,
    packing TEXT NOT NULL,
    why VARCHAR,
    used BOOLEAN,
    PRIMARY KEY (id),
    FOREIGN KEY (item_id) REFERENCES kit (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id),
    UNIQUE (trip_id, item_id)
);
CREATE INDEX ix_packed_item_id ON packed (item_id);
CREATE INDEX ix_packed_trip_id ON packed (trip_id);
CREATE TABLE viewpoint (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    slug VARCHAR NOT NULL,
    title VARCHAR NOT NULL,
    site_id VARCHAR NOT NULL,
    latitude_deg FLOAT,
    longitude_deg FLOAT,
    elevation_m FLOAT,
    facing_deg FLOAT,
    looks_at VARCHAR,
    tripod_rule TEXT NOT NULL,
    footing TEXT,
    access VARCHAR,
    hazards VARCHAR,
    location_shown TEXT,
    notes VARCHAR,
    PRIMARY KEY (id),
    FOREIGN KEY (site_id) REFERENCES site (id),
    UNIQUE (slug)
);
CREATE INDEX ix_viewpoint_site_id ON viewpoint (site_id);
CREATE TABLE condition (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    slug VARCHAR NOT NULL,
    trip_id VARCHAR NOT NULL,
    kind TEXT NOT NULL,
    on_date DATE NOT NULL,
    at TIME,
    site_id VARCHAR,
    viewpoint_id VARCHAR,
    level VARCHAR,
    direction VARCHAR,
    note VARCHAR,
    source VARCHAR,
    PRIMARY KEY (id),
    FOREIGN KEY (site_id) REFERENCES site (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id),
    FOREIGN KEY (viewpoint_id) REFERENCES viewpoint (id),
    UNIQUE (slug)
);
CREATE INDEX ix_condition_site_id ON condition (site_id);
CREATE INDEX ix_condition_trip_id ON condition (trip_id);
CREATE INDEX ix_condition_viewpoint_id ON condition (viewpoint_id);
CREATE TABLE shot (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    slug VARCHAR NOT NULL,
    title VARCHAR NOT NULL,
    trip_id VARCHAR NOT NULL,
    viewpoint_id VARCHAR,
    intent VARCHAR,
    on_date DATE,
    window_from TIME,
    window_to TIME,
    technique VARCHAR,
    focal_mm FLOAT,
    f_number FLOAT,
    exposure_s TEXT,
    iso INTEGER,
    filters TEXT,
    support TEXT,
    priority TEXT NOT NULL,
    fallback_for_id VARCHAR,
    notes VARCHAR,
    PRIMARY KEY (id),
    FOREIGN KEY (fallback_for_id) REFERENCES shot (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id),
    FOREIGN KEY (viewpoint_id) REFERENCES viewpoint (id),
    UNIQUE (slug)
);
CREATE INDEX ix_shot_fallback_for_id ON shot (fallback_for_id);
CREATE INDEX ix_shot_trip_id ON shot (trip_id);
CREATE INDEX ix_shot_viewpoint_id ON shot (viewpoint_id);
CREATE TABLE visit (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    slug VARCHAR NOT NULL,
    trip_id VARCHAR NOT NULL,
    viewpoint_id VARCHAR NOT NULL,
    on_date DATE NOT NULL,
    arrived_at TIME,
    departed_at TIME,
    purpose TEXT,
    tries INTEGER,
    support TEXT,
    journal VARCHAR,
    PRIMARY KEY (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id),
    FOREIGN KEY (viewpoint_id) REFERENCES viewpoint (id),
    UNIQUE (slug)
);
CREATE INDEX ix_visit_trip_id ON visit (trip_id);
CREATE INDEX ix_visit_viewpoint_id ON visit (viewpoint_id);
CREATE TABLE keeper (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    slug VARCHAR NOT NULL,
    trip_id VARCHAR NOT NULL,
    file VARCHAR NOT NULL,
    path VARCHAR NOT NULL,
    hash VARCHAR NOT NULL,
    size_bytes INTEGER NOT NULL,
    format VARCHAR NOT NULL,
    width_px INTEGER,
    height_px INTEGER,
    orientation INTEGER,
    taken_text VARCHAR,
    taken_local TEXT,
    utc_offset_text VARCHAR,
    zone VARCHAR,
    clock_offset_s INTEGER NOT NULL,
    clock_evidence TEXT,
    taken_utc TEXT,
    exposure_s TEXT,
    f_number FLOAT,
    iso INTEGER,
    bias_stops FLOAT,
    focal_mm FLOAT,
    focal_35mm FLOAT,
    exposure_mode TEXT,
    auto_bracket BOOLEAN,
    metering TEXT,
    flash_fired BOOLEAN,
    body VARCHAR,
    lens VARCHAR,
    latitude_deg FLOAT,
    longitude_deg FLOAT,
    altitude_m FLOAT,
    direction_deg FLOAT,
    direction_is_magnetic BOOLEAN,
    rating INTEGER,
    doubts TEXT NOT NULL,
    filters TEXT,
    support TEXT,
    viewpoint_id VARCHAR,
    shot_id VARCHAR,
    caption VARCHAR,
    alternative VARCHAR,
    note VARCHAR,
    PRIMARY KEY (id),
    FOREIGN KEY (shot_id) REFERENCES shot (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id),
    FOREIGN KEY (viewpoint_id) REFERENCES viewpoint (id),
    UNIQUE (trip_id, hash),
    UNIQUE (trip_id, slug)
);
CREATE INDEX ix_keeper_hash ON keeper (hash);
CREATE INDEX ix_keeper_shot_id ON keeper (shot_id);
CREATE INDEX ix_keeper_trip_id ON keeper (trip_id);
CREATE INDEX ix_keeper_viewpoint_id ON keeper (viewpoint_id);
CREATE TABLE lesson (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    slug VARCHAR NOT NULL,
    verb TEXT NOT NULL,
    text VARCHAR NOT NULL,
    trip_id VARCHAR,
    on_date DATE,
    site_id VARCHAR,
    viewpoint_id VARCHAR,
    shot_id VARCHAR,
    technique VARCHAR,
    shown_to TEXT,
    PRIMARY KEY (id),
    FOREIGN KEY (shot_id) REFERENCES shot (id),
    FOREIGN KEY (site_id) REFERENCES site (id),
    FOREIGN KEY (trip_id) REFERENCES trip (id),
    FOREIGN KEY (viewpoint_id) REFERENCES viewpoint (id),
    UNIQUE (slug)
);
CREATE INDEX ix_lesson_shot_id ON lesson (shot_id);
CREATE INDEX ix_lesson_site_id ON lesson (site_id);
CREATE INDEX ix_lesson_trip_id ON lesson (trip_id);
CREATE INDEX ix_lesson_viewpoint_id ON lesson (viewpoint_id);
CREATE TABLE outcome (
    id VARCHAR NOT NULL,
    created TEXT NOT NULL,
    updated TEXT NOT NULL,
    provenance TEXT NOT NULL,
    shot_id VARCHAR NOT NULL,
    word TEXT NOT NULL,
    reasons TEXT NOT NULL,
    note VARCHAR,
    replaced_by_shot_id VARCHAR,
    replaced_by_keeper_id VARCHAR,
    PRIMARY KEY (id),
    FOREIGN KEY (replaced_by_keeper_id) REFERENCES keeper (id),
    FOREIGN KEY (replaced_by_shot_id) REFERENCES shot (id),
    FOREIGN KEY (shot_id) REFERENCES shot (id),
    UNIQUE (shot_id)
);
CREATE INDEX ix_outcome_replaced_by_keeper_id ON outcome (replaced_by_keeper_id);
CREATE INDEX ix_outcome_replaced_by_shot_id ON outcome (replaced_by_shot_id);
