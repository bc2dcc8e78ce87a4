-- Visits and what was read and done at them. Child rows are known by visit and place: no key of their own. `unanswered`
-- names the values that are not there although somebody was asked: `wait_s=not_done;t90_s=not_possible`.

-- `stated` 0: the visit came as rows of other tables alone, its own row may still follow in visit_heads.
CREATE TABLE visits (
    visit TEXT NOT NULL CHECK (visit <> ''),
    when_s INTEGER NOT NULL,
    when_offset_min INTEGER NOT NULL CHECK (when_offset_min BETWEEN -899 AND 899),
    serial TEXT NOT NULL CHECK (serial <> '') REFERENCES sensors (serial),
    tag TEXT CHECK (tag <> '') REFERENCES points (tag),
    person TEXT CHECK (person <> ''),
    reason TEXT CHECK (reason IN ('routine', 'complaint', 'alarm', 'after_shutdown', 'after_product_change', 'failed_check', 'audit', 'new')),
    round TEXT CHECK (round <> ''),
    manual_from_s INTEGER,
    manual_from_offset_min INTEGER CHECK ((manual_from_s IS NULL) = (manual_from_offset_min IS NULL) AND manual_from_offset_min BETWEEN -899 AND 899),
    auto_at_s INTEGER,
    auto_at_offset_min INTEGER CHECK ((auto_at_s IS NULL) = (auto_at_offset_min IS NULL) AND auto_at_offset_min BETWEEN -899 AND 899),
    cleaned_before INTEGER CHECK (cleaned_before IN (0, 1)),
    confirmed_cause TEXT CHECK (confirmed_cause <> ''),
    confirmed_how TEXT CHECK (confirmed_how <> ''),
    remark TEXT CHECK (remark <> ''),
    stated INTEGER NOT NULL CHECK (stated IN (0, 1)),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (visit)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER visits_no_update BEFORE UPDATE ON visits
BEGIN
    SELECT RAISE(ABORT, 'visits is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER visits_no_delete BEFORE DELETE ON visits
BEGIN
    SELECT RAISE(ABORT, 'visits is a record: no row of it is ever deleted');
END;

CREATE INDEX visits_by_sensor ON visits (serial, when_s);

-- The visit as a whole, where it was written after its readings.
CREATE TABLE visit_heads (
    visit TEXT NOT NULL CHECK (visit <> '') REFERENCES visits (visit),
    when_s INTEGER NOT NULL,
    when_offset_min INTEGER NOT NULL CHECK (when_offset_min BETWEEN -899 AND 899),
    serial TEXT NOT NULL CHECK (serial <> '') REFERENCES sensors (serial),
    tag TEXT CHECK (tag <> '') REFERENCES points (tag),
    person TEXT CHECK (person <> ''),
    reason TEXT CHECK (reason IN ('routine', 'complaint', 'alarm', 'after_shutdown', 'after_product_change', 'failed_check', 'audit', 'new')),
    round TEXT CHECK (round <> ''),
    manual_from_s INTEGER,
    manual_from_offset_min INTEGER CHECK ((manual_from_s IS NULL) = (manual_from_offset_min IS NULL) AND manual_from_offset_min BETWEEN -899 AND 899),
    auto_at_s INTEGER,
    auto_at_offset_min INTEGER CHECK ((auto_at_s IS NULL) = (auto_at_offset_min IS NULL) AND auto_at_offset_min BETWEEN -899 AND 899),
    cleaned_before INTEGER CHECK (cleaned_before IN (0, 1)),
    confirmed_cause TEXT CHECK (confirmed_cause <> ''),
    confirmed_how TEXT CHECK (confirmed_how <> ''),
    remark TEXT CHECK (remark <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (visit)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER visit_heads_no_update BEFORE UPDATE ON visit_heads
BEGIN
    SELECT RAISE(ABORT, 'visit_heads is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER visit_heads_no_delete BEFORE DELETE ON visit_heads
BEGIN
    SELECT RAISE(ABORT, 'visit_heads is a record: no row of it is ever deleted');
END;

CREATE TABLE readings (
    visit TEXT NOT NULL CHECK (visit <> '') REFERENCES visits (visit),
    seq INTEGER NOT NULL CHECK (seq > 0),
    when_s INTEGER NOT NULL,
    when_offset_min INTEGER NOT NULL CHECK (when_offset_min BETWEEN -899 AND 899),
    phase TEXT NOT NULL CHECK (phase IN ('as_found', 'after_clean', 'as_left')),
    standard TEXT NOT NULL CHECK (standard <> ''),
    lot TEXT CHECK (lot <> ''),
    mv REAL,
    temp_degc REAL,
    temp_source TEXT CHECK (temp_source IN ('measured', 'carried', 'sensor', 'guessed', 'absent')),
    wait_s REAL CHECK (wait_s >= 0),
    t90_s REAL CHECK (t90_s >= 0),
    settled INTEGER CHECK (settled IN (0, 1)),
    meter TEXT CHECK (meter <> ''),
    thermometer TEXT CHECK (thermometer <> ''),
    dip INTEGER NOT NULL CHECK (dip > 0),
    shown_ph REAL,
    keyed INTEGER CHECK (keyed IN (0, 1)),
    why_missing TEXT CHECK (why_missing <> ''),
    note TEXT CHECK (note <> ''),
    unanswered TEXT CHECK (unanswered <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (visit, seq),
    CHECK (mv IS NOT NULL OR why_missing IS NOT NULL)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER readings_no_update BEFORE UPDATE ON readings
BEGIN
    SELECT RAISE(ABORT, 'readings is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER readings_no_delete BEFORE DELETE ON readings
BEGIN
    SELECT RAISE(ABORT, 'readings is a record: no row of it is ever deleted');
END;

CREATE TABLE grabs (
    visit TEXT NOT NULL CHECK (visit <> '') REFERENCES visits (visit),
    seq INTEGER NOT NULL CHECK (seq > 0),
    when_s INTEGER NOT NULL,
    when_offset_min INTEGER NOT NULL CHECK (when_offset_min BETWEEN -899 AND 899),
    loop_ph REAL,
    grab_ph REAL,
    temp_degc REAL,
    loop_mv REAL,
    grab_mv REAL,
    grab_when_s INTEGER,
    grab_when_offset_min INTEGER CHECK ((grab_when_s IS NULL) = (grab_when_offset_min IS NULL) AND grab_when_offset_min BETWEEN -899 AND 899),
    unanswered TEXT CHECK (unanswered <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (visit, seq)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER grabs_no_update BEFORE UPDATE ON grabs
BEGIN
    SELECT RAISE(ABORT, 'grabs is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER grabs_no_delete BEFORE DELETE ON grabs
BEGIN
    SELECT RAISE(ABORT, 'grabs is a record: no row of it is ever deleted');
END;

CREATE TABLE checks (
    visit TEXT NOT NULL CHECK (visit <> '') REFERENCES visits (visit),
    seq INTEGER NOT NULL CHECK (seq > 0),
    when_s INTEGER NOT NULL,
    when_offset_min INTEGER NOT NULL CHECK (when_offset_min BETWEEN -899 AND 899),
    glass_mohm REAL,
    glass_temp_degc REAL,
    reference_kohm REAL,
    noise_mv REAL,
    hysteresis_mv REAL,
    dilution_ph REAL,
    stir_ph REAL,
    reread_pct REAL,
    second_bottle TEXT CHECK (second_bottle IN ('same', 'changes', 'not_possible')),
    cable TEXT CHECK (cable IN ('same', 'changes', 'not_possible')),
    short_open TEXT CHECK (short_open IN ('same', 'changes', 'not_possible')),
    earth_wire TEXT CHECK (earth_wire IN ('same', 'changes', 'not_possible')),
    thermometer_off_k REAL,
    coating REAL CHECK (coating BETWEEN 0 AND 4),
    coating_kind TEXT CHECK (coating_kind IN ('hard', 'smear', 'slippery', 'slime')),
    dry_hours REAL,
    minutes REAL,
    unanswered TEXT CHECK (unanswered <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (visit, seq)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER checks_no_update BEFORE UPDATE ON checks
BEGIN
    SELECT RAISE(ABORT, 'checks is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER checks_no_delete BEFORE DELETE ON checks
BEGIN
    SELECT RAISE(ABORT, 'checks is a record: no row of it is ever deleted');
END;

CREATE TABLE actions (
    visit TEXT NOT NULL CHECK (visit <> '') REFERENCES visits (visit),
    seq INTEGER NOT NULL CHECK (seq > 0),
    when_s INTEGER NOT NULL,
    when_offset_min INTEGER NOT NULL CHECK (when_offset_min BETWEEN -899 AND 899),
    step INTEGER NOT NULL CHECK (step > 0),
    action TEXT NOT NULL CHECK (action <> ''),
    agent TEXT CHECK (agent <> ''),
    strength TEXT CHECK (strength <> ''),
    minutes REAL,
    elapsed_minutes REAL,
    part_lot TEXT CHECK (part_lot <> ''),
    note TEXT CHECK (note <> ''),
    unanswered TEXT CHECK (unanswered <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (visit, seq)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER actions_no_update BEFORE UPDATE ON actions
BEGIN
    SELECT RAISE(ABORT, 'actions is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER actions_no_delete BEFORE DELETE ON actions
BEGIN
    SELECT RAISE(ABORT, 'actions is a record: no row of it is ever deleted');
END;

-- A correction names the row and field it supersedes; the row itself stays as first written.
CREATE TABLE corrections (
    visit TEXT NOT NULL CHECK (visit <> '') REFERENCES visits (visit),
    seq INTEGER NOT NULL CHECK (seq > 0),
    table_name TEXT NOT NULL CHECK (table_name IN ('visits', 'readings', 'grabs', 'checks', 'actions')),
    row_number INTEGER NOT NULL CHECK (row_number > 0),
    field TEXT NOT NULL CHECK (field <> ''),
    old_value TEXT,
    new_value TEXT,
    person TEXT NOT NULL CHECK (person <> ''),
    why TEXT NOT NULL CHECK (why <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (visit, seq)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER corrections_no_update BEFORE UPDATE ON corrections
BEGIN
    SELECT RAISE(ABORT, 'corrections is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER corrections_no_delete BEFORE DELETE ON corrections
BEGIN
    SELECT RAISE(ABORT, 'corrections is a record: no row of it is ever deleted');
END;

-- Records that hold only computed figures, without millivolts.
CREATE TABLE legacy (
    serial TEXT NOT NULL CHECK (serial <> '') REFERENCES sensors (serial),
    when_s INTEGER NOT NULL,
    when_offset_min INTEGER NOT NULL CHECK (when_offset_min BETWEEN -899 AND 899),
    phase TEXT NOT NULL CHECK (phase IN ('as_found', 'after_clean', 'as_left')),
    efficiency_pct REAL,
    offset_mv REAL,
    t90_s REAL,
    person TEXT CHECK (person <> ''),
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (serial, when_s, phase)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER legacy_no_update BEFORE UPDATE ON legacy
BEGIN
    SELECT RAISE(ABORT, 'legacy is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER legacy_no_delete BEFORE DELETE ON legacy
BEGIN
    SELECT RAISE(ABORT, 'legacy is a record: no row of it is ever deleted');
END;
