-- The plant: sites, points, sensors and where they were; standards, instruments and people. Times are UTC seconds with
-- the offset they were written with. Rows are never changed: an end that comes later is a row of its own.

CREATE TABLE sites (
    site TEXT NOT NULL CHECK (site <> ''),
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (site)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER sites_no_update BEFORE UPDATE ON sites
BEGIN
    SELECT RAISE(ABORT, 'sites is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER sites_no_delete BEFORE DELETE ON sites
BEGIN
    SELECT RAISE(ABORT, 'sites is a record: no row of it is ever deleted');
END;

CREATE TABLE points (
    tag TEXT NOT NULL CHECK (tag <> ''),
    site TEXT NOT NULL CHECK (site <> '') REFERENCES sites (site),
    area TEXT CHECK (area <> ''),
    description TEXT CHECK (description <> ''),
    application TEXT CHECK (application <> ''),
    loop_class TEXT CHECK (loop_class IN ('indication', 'control', 'alarm', 'interlock', 'permit', 'quality')),
    ph_low REAL,
    ph_high REAL,
    temp_degc REAL,
    tolerance_ph REAL CHECK (tolerance_ph >= 0),
    tolerance_mv REAL CHECK (tolerance_mv >= 0),
    hazards TEXT CHECK (hazards <> ''),
    location TEXT CHECK (location <> ''),
    phone TEXT CHECK (phone <> ''),
    consequence_per_week REAL CHECK (consequence_per_week >= 0),
    permit_area TEXT CHECK (permit_area <> ''),
    walk_order REAL,
    walk_minutes REAL CHECK (walk_minutes >= 0),
    legal_floor_days REAL CHECK (legal_floor_days >= 0),
    legal_clause TEXT CHECK (legal_clause <> ''),
    grab_quality TEXT CHECK (grab_quality IN ('clean', 'dirty', 'pure')),
    season_from TEXT CHECK (season_from <> ''),
    season_to TEXT CHECK (season_to <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (tag)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER points_no_update BEFORE UPDATE ON points
BEGIN
    SELECT RAISE(ABORT, 'points is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER points_no_delete BEFORE DELETE ON points
BEGIN
    SELECT RAISE(ABORT, 'points is a record: no row of it is ever deleted');
END;

CREATE TABLE models (
    model TEXT NOT NULL CHECK (model <> ''),
    kind TEXT NOT NULL CHECK (kind IN ('ph', 'orp')),
    reference TEXT CHECK (reference IN ('single_gel', 'double_gel', 'double_refillable', 'liquid_refillable', 'polymer_open', 'large_junction', 'differential_bridge')),
    sensing TEXT CHECK (sensing IN ('bulb', 'flat', 'hardened', 'hf_resistant', 'isfet', 'antimony', 'platinum', 'gold')),
    reference_fill TEXT CHECK (reference_fill <> ''),
    interchange TEXT CHECK (interchange <> ''),
    price REAL CHECK (price >= 0),
    lead_time_days REAL CHECK (lead_time_days >= 0),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (model)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER models_no_update BEFORE UPDATE ON models
BEGIN
    SELECT RAISE(ABORT, 'models is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER models_no_delete BEFORE DELETE ON models
BEGIN
    SELECT RAISE(ABORT, 'models is a record: no row of it is ever deleted');
END;

CREATE TABLE sensors (
    serial TEXT NOT NULL CHECK (serial <> ''),
    model TEXT NOT NULL CHECK (model <> '') REFERENCES models (model),
    bought_s INTEGER,
    bought_offset_min INTEGER CHECK ((bought_s IS NULL) = (bought_offset_min IS NULL) AND bought_offset_min BETWEEN -899 AND 899),
    opened_s INTEGER,
    opened_offset_min INTEGER CHECK ((opened_s IS NULL) = (opened_offset_min IS NULL) AND opened_offset_min BETWEEN -899 AND 899),
    first_wet_s INTEGER,
    first_wet_offset_min INTEGER CHECK ((first_wet_s IS NULL) = (first_wet_offset_min IS NULL) AND first_wet_offset_min BETWEEN -899 AND 899),
    shelf_expires_s INTEGER,
    shelf_expires_offset_min INTEGER CHECK ((shelf_expires_s IS NULL) = (shelf_expires_offset_min IS NULL) AND shelf_expires_offset_min BETWEEN -899 AND 899),
    production_lot TEXT CHECK (production_lot <> ''),
    price REAL CHECK (price >= 0),
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (serial)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER sensors_no_update BEFORE UPDATE ON sensors
BEGIN
    SELECT RAISE(ABORT, 'sensors is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER sensors_no_delete BEFORE DELETE ON sensors
BEGIN
    SELECT RAISE(ABORT, 'sensors is a record: no row of it is ever deleted');
END;

-- A sensor was at a place (a tag, shelf, soak, bench, quarantine, scrap). `to` stands here only if it was known when
-- the row was written.
CREATE TABLE placements (
    serial TEXT NOT NULL CHECK (serial <> '') REFERENCES sensors (serial),
    place TEXT NOT NULL CHECK (place <> ''),
    from_s INTEGER NOT NULL,
    from_offset_min INTEGER NOT NULL CHECK (from_offset_min BETWEEN -899 AND 899),
    to_s INTEGER,
    to_offset_min INTEGER CHECK ((to_s IS NULL) = (to_offset_min IS NULL) AND to_offset_min BETWEEN -899 AND 899),
    reason_removed TEXT CHECK (reason_removed IN ('broken', 'slope', 'offset', 'slow', 'erratic', 'junction', 'poisoned', 'wet', 'cable', 'temperature_element', 'pre_emptive', 'rotation', 'unknown', 'lost')),
    from_latest_s INTEGER,
    from_latest_offset_min INTEGER CHECK ((from_latest_s IS NULL) = (from_latest_offset_min IS NULL) AND from_latest_offset_min BETWEEN -899 AND 899),
    pre_emptive INTEGER CHECK (pre_emptive IN (0, 1)),
    entry_age_days REAL CHECK (entry_age_days >= 0),
    wet_days REAL CHECK (wet_days >= 0),
    hot_cycles REAL CHECK (hot_cycles >= 0),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (serial, from_s, place),
    CHECK (to_s >= from_s)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER placements_no_update BEFORE UPDATE ON placements
BEGIN
    SELECT RAISE(ABORT, 'placements is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER placements_no_delete BEFORE DELETE ON placements
BEGIN
    SELECT RAISE(ABORT, 'placements is a record: no row of it is ever deleted');
END;

-- The end of a placement that was open when it was written.
CREATE TABLE placement_ends (
    serial TEXT NOT NULL CHECK (serial <> ''),
    place TEXT NOT NULL CHECK (place <> ''),
    from_s INTEGER NOT NULL,
    from_offset_min INTEGER NOT NULL CHECK (from_offset_min BETWEEN -899 AND 899),
    to_s INTEGER NOT NULL,
    to_offset_min INTEGER NOT NULL CHECK (to_offset_min BETWEEN -899 AND 899),
    reason_removed TEXT CHECK (reason_removed IN ('broken', 'slope', 'offset', 'slow', 'erratic', 'junction', 'poisoned', 'wet', 'cable', 'temperature_element', 'pre_emptive', 'rotation', 'unknown', 'lost')),
    pre_emptive INTEGER CHECK (pre_emptive IN (0, 1)),
    person TEXT CHECK (person <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (serial, from_s, place),
    FOREIGN KEY (serial, from_s, place) REFERENCES placements (serial, from_s, place),
    CHECK (to_s >= from_s)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER placement_ends_no_update BEFORE UPDATE ON placement_ends
BEGIN
    SELECT RAISE(ABORT, 'placement_ends is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER placement_ends_no_delete BEFORE DELETE ON placement_ends
BEGIN
    SELECT RAISE(ABORT, 'placement_ends is a record: no row of it is ever deleted');
END;

CREATE TABLE parts (
    serial TEXT NOT NULL CHECK (serial <> '') REFERENCES sensors (serial),
    part TEXT NOT NULL CHECK (part IN ('bridge', 'cell_solution', 'electrolyte', 'o_ring', 'cable', 'preamplifier')),
    from_s INTEGER NOT NULL,
    from_offset_min INTEGER NOT NULL CHECK (from_offset_min BETWEEN -899 AND 899),
    to_s INTEGER,
    to_offset_min INTEGER CHECK ((to_s IS NULL) = (to_offset_min IS NULL) AND to_offset_min BETWEEN -899 AND 899),
    lot TEXT CHECK (lot <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (serial, part, from_s),
    CHECK (to_s >= from_s)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER parts_no_update BEFORE UPDATE ON parts
BEGIN
    SELECT RAISE(ABORT, 'parts is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER parts_no_delete BEFORE DELETE ON parts
BEGIN
    SELECT RAISE(ABORT, 'parts is a record: no row of it is ever deleted');
END;

CREATE TABLE part_ends (
    serial TEXT NOT NULL CHECK (serial <> ''),
    part TEXT NOT NULL CHECK (part <> ''),
    from_s INTEGER NOT NULL,
    from_offset_min INTEGER NOT NULL CHECK (from_offset_min BETWEEN -899 AND 899),
    to_s INTEGER NOT NULL,
    to_offset_min INTEGER NOT NULL CHECK (to_offset_min BETWEEN -899 AND 899),
    person TEXT CHECK (person <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (serial, part, from_s),
    FOREIGN KEY (serial, part, from_s) REFERENCES parts (serial, part, from_s),
    CHECK (to_s >= from_s)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER part_ends_no_update BEFORE UPDATE ON part_ends
BEGIN
    SELECT RAISE(ABORT, 'part_ends is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER part_ends_no_delete BEFORE DELETE ON part_ends
BEGIN
    SELECT RAISE(ABORT, 'part_ends is a record: no row of it is ever deleted');
END;

CREATE TABLE lots (
    lot TEXT NOT NULL CHECK (lot <> ''),
    standard TEXT NOT NULL CHECK (standard <> ''),
    received_s INTEGER,
    received_offset_min INTEGER CHECK ((received_s IS NULL) = (received_offset_min IS NULL) AND received_offset_min BETWEEN -899 AND 899),
    opened_s INTEGER,
    opened_offset_min INTEGER CHECK ((opened_s IS NULL) = (opened_offset_min IS NULL) AND opened_offset_min BETWEEN -899 AND 899),
    expires_s INTEGER,
    expires_offset_min INTEGER CHECK ((expires_s IS NULL) = (expires_offset_min IS NULL) AND expires_offset_min BETWEEN -899 AND 899),
    discarded_s INTEGER,
    discarded_offset_min INTEGER CHECK ((discarded_s IS NULL) = (discarded_offset_min IS NULL) AND discarded_offset_min BETWEEN -899 AND 899),
    certified_ph REAL,
    certified_mv REAL,
    u_ph REAL CHECK (u_ph >= 0),
    u_mv REAL CHECK (u_mv >= 0),
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (lot),
    CHECK (certified_ph IS NULL OR certified_mv IS NULL)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER lots_no_update BEFORE UPDATE ON lots
BEGIN
    SELECT RAISE(ABORT, 'lots is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER lots_no_delete BEFORE DELETE ON lots
BEGIN
    SELECT RAISE(ABORT, 'lots is a record: no row of it is ever deleted');
END;

-- A bottle opened or thrown away after its row was written.
CREATE TABLE lot_events (
    lot TEXT NOT NULL CHECK (lot <> '') REFERENCES lots (lot),
    event TEXT NOT NULL CHECK (event IN ('opened', 'discarded')),
    time_s INTEGER NOT NULL,
    time_offset_min INTEGER NOT NULL CHECK (time_offset_min BETWEEN -899 AND 899),
    person TEXT CHECK (person <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (lot, event)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER lot_events_no_update BEFORE UPDATE ON lot_events
BEGIN
    SELECT RAISE(ABORT, 'lot_events is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER lot_events_no_delete BEFORE DELETE ON lot_events
BEGIN
    SELECT RAISE(ABORT, 'lot_events is a record: no row of it is ever deleted');
END;

-- The shop's own bottles, as tables by temperature.
CREATE TABLE standards (
    standard TEXT NOT NULL CHECK (standard <> ''),
    temp_degc REAL NOT NULL,
    ph REAL,
    mv REAL,
    u REAL CHECK (u >= 0),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (standard, temp_degc),
    CHECK ((ph IS NULL) <> (mv IS NULL))
) STRICT, WITHOUT ROWID;
CREATE TRIGGER standards_no_update BEFORE UPDATE ON standards
BEGIN
    SELECT RAISE(ABORT, 'standards is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER standards_no_delete BEFORE DELETE ON standards
BEGIN
    SELECT RAISE(ABORT, 'standards is a record: no row of it is ever deleted');
END;

CREATE TABLE equipment (
    equipment TEXT NOT NULL CHECK (equipment <> ''),
    kind TEXT NOT NULL CHECK (kind IN ('meter', 'thermometer')),
    checked_s INTEGER,
    checked_offset_min INTEGER CHECK ((checked_s IS NULL) = (checked_offset_min IS NULL) AND checked_offset_min BETWEEN -899 AND 899),
    error REAL,
    due_s INTEGER,
    due_offset_min INTEGER CHECK ((due_s IS NULL) = (due_offset_min IS NULL) AND due_offset_min BETWEEN -899 AND 899),
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (equipment)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER equipment_no_update BEFORE UPDATE ON equipment
BEGIN
    SELECT RAISE(ABORT, 'equipment is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER equipment_no_delete BEFORE DELETE ON equipment
BEGIN
    SELECT RAISE(ABORT, 'equipment is a record: no row of it is ever deleted');
END;

CREATE TABLE people (
    person TEXT NOT NULL CHECK (person <> ''),
    skills TEXT CHECK (skills <> ''),
    days TEXT CHECK (days <> ''),
    minutes_per_day REAL CHECK (minutes_per_day >= 0),
    from_s INTEGER,
    from_offset_min INTEGER CHECK ((from_s IS NULL) = (from_offset_min IS NULL) AND from_offset_min BETWEEN -899 AND 899),
    to_s INTEGER,
    to_offset_min INTEGER CHECK ((to_s IS NULL) = (to_offset_min IS NULL) AND to_offset_min BETWEEN -899 AND 899),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (person)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER people_no_update BEFORE UPDATE ON people
BEGIN
    SELECT RAISE(ABORT, 'people is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER people_no_delete BEFORE DELETE ON people
BEGIN
    SELECT RAISE(ABORT, 'people is a record: no row of it is ever deleted');
END;

-- A loop in manual or hold.
CREATE TABLE holds (
    point TEXT NOT NULL CHECK (point <> ''),
    from_s INTEGER NOT NULL,
    from_offset_min INTEGER NOT NULL CHECK (from_offset_min BETWEEN -899 AND 899),
    person TEXT CHECK (person <> ''),
    to_s INTEGER,
    to_offset_min INTEGER CHECK ((to_s IS NULL) = (to_offset_min IS NULL) AND to_offset_min BETWEEN -899 AND 899),
    closed_by TEXT CHECK (closed_by <> ''),
    closed_how TEXT CHECK (closed_how IN ('auto', 'handed_to_control_room')),
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (point, from_s),
    CHECK (to_s >= from_s)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER holds_no_update BEFORE UPDATE ON holds
BEGIN
    SELECT RAISE(ABORT, 'holds is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER holds_no_delete BEFORE DELETE ON holds
BEGIN
    SELECT RAISE(ABORT, 'holds is a record: no row of it is ever deleted');
END;

CREATE TABLE hold_ends (
    point TEXT NOT NULL CHECK (point <> ''),
    from_s INTEGER NOT NULL,
    from_offset_min INTEGER NOT NULL CHECK (from_offset_min BETWEEN -899 AND 899),
    to_s INTEGER NOT NULL,
    to_offset_min INTEGER NOT NULL CHECK (to_offset_min BETWEEN -899 AND 899),
    closed_by TEXT CHECK (closed_by <> ''),
    closed_how TEXT NOT NULL CHECK (closed_how IN ('auto', 'handed_to_control_room')),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (point, from_s),
    FOREIGN KEY (point, from_s) REFERENCES holds (point, from_s),
    CHECK (to_s >= from_s)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER hold_ends_no_update BEFORE UPDATE ON hold_ends
BEGIN
    SELECT RAISE(ABORT, 'hold_ends is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER hold_ends_no_delete BEFORE DELETE ON hold_ends
BEGIN
    SELECT RAISE(ABORT, 'hold_ends is a record: no row of it is ever deleted');
END;
