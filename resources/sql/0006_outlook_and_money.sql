-- Forecasts as issued, decisions and their outcome, money, spares, shared shifts, merging. Records like all others.

CREATE TABLE forecasts_issued (
    id TEXT NOT NULL CHECK (id <> ''),
    serial TEXT NOT NULL CHECK (serial <> '') REFERENCES sensors (serial),
    issued_s INTEGER NOT NULL,
    issued_offset_min INTEGER NOT NULL CHECK (issued_offset_min BETWEEN -899 AND 899),
    cut_off_s INTEGER NOT NULL,
    cut_off_offset_min INTEGER NOT NULL CHECK (cut_off_offset_min BETWEEN -899 AND 899),
    quantity TEXT NOT NULL CHECK (quantity <> ''),
    abstained TEXT CHECK (abstained <> ''),
    engine TEXT NOT NULL CHECK (engine <> ''),
    rules TEXT NOT NULL CHECK (rules <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER forecasts_issued_no_update BEFORE UPDATE ON forecasts_issued
BEGIN
    SELECT RAISE(ABORT, 'forecasts_issued is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER forecasts_issued_no_delete BEFORE DELETE ON forecasts_issued
BEGIN
    SELECT RAISE(ABORT, 'forecasts_issued is a record: no row of it is ever deleted');
END;

CREATE TABLE forecast_points (
    id TEXT NOT NULL CHECK (id <> '') REFERENCES forecasts_issued (id),
    at_s INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -899 AND 899),
    p05 REAL,
    p10 REAL,
    p25 REAL,
    p50 REAL,
    p75 REAL,
    p90 REAL,
    p95 REAL,
    crossing_probability REAL CHECK (crossing_probability BETWEEN 0 AND 1),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id, at_s)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER forecast_points_no_update BEFORE UPDATE ON forecast_points
BEGIN
    SELECT RAISE(ABORT, 'forecast_points is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER forecast_points_no_delete BEFORE DELETE ON forecast_points
BEGIN
    SELECT RAISE(ABORT, 'forecast_points is a record: no row of it is ever deleted');
END;

CREATE TABLE decisions (
    id TEXT NOT NULL CHECK (id <> ''),
    serial TEXT NOT NULL CHECK (serial <> '') REFERENCES sensors (serial),
    decided_s INTEGER NOT NULL,
    decided_offset_min INTEGER NOT NULL CHECK (decided_offset_min BETWEEN -899 AND 899),
    options TEXT NOT NULL CHECK (options <> ''),
    chosen TEXT NOT NULL CHECK (chosen <> ''),
    person TEXT NOT NULL CHECK (person <> ''),
    why TEXT CHECK (why <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER decisions_no_update BEFORE UPDATE ON decisions
BEGIN
    SELECT RAISE(ABORT, 'decisions is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER decisions_no_delete BEFORE DELETE ON decisions
BEGIN
    SELECT RAISE(ABORT, 'decisions is a record: no row of it is ever deleted');
END;

CREATE TABLE decision_outcomes (
    id TEXT NOT NULL CHECK (id <> '') REFERENCES decisions (id),
    seen_s INTEGER NOT NULL,
    seen_offset_min INTEGER NOT NULL CHECK (seen_offset_min BETWEEN -899 AND 899),
    outcome TEXT NOT NULL CHECK (outcome <> ''),
    cost REAL,
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id, entry)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER decision_outcomes_no_update BEFORE UPDATE ON decision_outcomes
BEGIN
    SELECT RAISE(ABORT, 'decision_outcomes is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER decision_outcomes_no_delete BEFORE DELETE ON decision_outcomes
BEGIN
    SELECT RAISE(ABORT, 'decision_outcomes is a record: no row of it is ever deleted');
END;

CREATE TABLE prices (
    subject TEXT NOT NULL CHECK (subject <> ''),
    kind TEXT NOT NULL CHECK (kind IN ('model', 'part', 'labour', 'service', 'call_out', 'tolerance', 'budget')),
    from_s INTEGER NOT NULL,
    from_offset_min INTEGER NOT NULL CHECK (from_offset_min BETWEEN -899 AND 899),
    amount REAL NOT NULL,
    lead_time_days REAL,
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (subject, kind, from_s)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER prices_no_update BEFORE UPDATE ON prices
BEGIN
    SELECT RAISE(ABORT, 'prices is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER prices_no_delete BEFORE DELETE ON prices
BEGIN
    SELECT RAISE(ABORT, 'prices is a record: no row of it is ever deleted');
END;

CREATE TABLE stock (
    subject TEXT NOT NULL CHECK (subject <> ''),
    counted_s INTEGER NOT NULL,
    counted_offset_min INTEGER NOT NULL CHECK (counted_offset_min BETWEEN -899 AND 899),
    count REAL NOT NULL CHECK (count >= 0),
    place TEXT CHECK (place <> ''),
    person TEXT CHECK (person <> ''),
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (subject, counted_s, entry)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER stock_no_update BEFORE UPDATE ON stock
BEGIN
    SELECT RAISE(ABORT, 'stock is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER stock_no_delete BEFORE DELETE ON stock
BEGIN
    SELECT RAISE(ABORT, 'stock is a record: no row of it is ever deleted');
END;

CREATE TABLE orders (
    id TEXT NOT NULL CHECK (id <> ''),
    subject TEXT NOT NULL CHECK (subject <> ''),
    count REAL NOT NULL CHECK (count > 0),
    ordered_s INTEGER NOT NULL,
    ordered_offset_min INTEGER NOT NULL CHECK (ordered_offset_min BETWEEN -899 AND 899),
    expected_s INTEGER,
    expected_offset_min INTEGER CHECK ((expected_s IS NULL) = (expected_offset_min IS NULL) AND expected_offset_min BETWEEN -899 AND 899),
    price REAL,
    person TEXT CHECK (person <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER orders_no_update BEFORE UPDATE ON orders
BEGIN
    SELECT RAISE(ABORT, 'orders is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER orders_no_delete BEFORE DELETE ON orders
BEGIN
    SELECT RAISE(ABORT, 'orders is a record: no row of it is ever deleted');
END;

CREATE TABLE order_events (
    id TEXT NOT NULL CHECK (id <> '') REFERENCES orders (id),
    event TEXT NOT NULL CHECK (event IN ('arrived', 'dead_on_arrival', 'cancelled', 'stock_out')),
    time_s INTEGER NOT NULL,
    time_offset_min INTEGER NOT NULL CHECK (time_offset_min BETWEEN -899 AND 899),
    count REAL,
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id, entry)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER order_events_no_update BEFORE UPDATE ON order_events
BEGIN
    SELECT RAISE(ABORT, 'order_events is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER order_events_no_delete BEFORE DELETE ON order_events
BEGIN
    SELECT RAISE(ABORT, 'order_events is a record: no row of it is ever deleted');
END;

-- Tests for what moved many sensors alike, and what was accepted of it.
CREATE TABLE shared_shifts (
    id TEXT NOT NULL CHECK (id <> ''),
    kind TEXT NOT NULL CHECK (kind IN ('lot', 'meter', 'thermometer', 'person', 'day')),
    subject TEXT NOT NULL CHECK (subject <> ''),
    from_s INTEGER NOT NULL,
    from_offset_min INTEGER NOT NULL CHECK (from_offset_min BETWEEN -899 AND 899),
    to_s INTEGER,
    to_offset_min INTEGER CHECK ((to_s IS NULL) = (to_offset_min IS NULL) AND to_offset_min BETWEEN -899 AND 899),
    shift REAL NOT NULL,
    ci_low REAL,
    ci_high REAL,
    p_value REAL,
    q_value REAL,
    what_was_done TEXT CHECK (what_was_done <> ''),
    person TEXT CHECK (person <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER shared_shifts_no_update BEFORE UPDATE ON shared_shifts
BEGIN
    SELECT RAISE(ABORT, 'shared_shifts is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER shared_shifts_no_delete BEFORE DELETE ON shared_shifts
BEGIN
    SELECT RAISE(ABORT, 'shared_shifts is a record: no row of it is ever deleted');
END;

-- Whether figures by person may be shown.
CREATE TABLE person_consents (
    person TEXT NOT NULL CHECK (person <> ''),
    consent INTEGER CHECK (consent IN (0, 1)),
    from_s INTEGER NOT NULL,
    from_offset_min INTEGER NOT NULL CHECK (from_offset_min BETWEEN -899 AND 899),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (person, from_s, entry)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER person_consents_no_update BEFORE UPDATE ON person_consents
BEGIN
    SELECT RAISE(ABORT, 'person_consents is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER person_consents_no_delete BEFORE DELETE ON person_consents
BEGIN
    SELECT RAISE(ABORT, 'person_consents is a record: no row of it is ever deleted');
END;

CREATE TABLE dry_outs (
    serial TEXT NOT NULL CHECK (serial <> '') REFERENCES sensors (serial),
    from_s INTEGER NOT NULL,
    from_offset_min INTEGER NOT NULL CHECK (from_offset_min BETWEEN -899 AND 899),
    hours REAL,
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (serial, from_s)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER dry_outs_no_update BEFORE UPDATE ON dry_outs
BEGIN
    SELECT RAISE(ABORT, 'dry_outs is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER dry_outs_no_delete BEFORE DELETE ON dry_outs
BEGIN
    SELECT RAISE(ABORT, 'dry_outs is a record: no row of it is ever deleted');
END;

-- Photos and papers by their digest; the files themselves lie beside the book.
CREATE TABLE attachments (
    id TEXT NOT NULL CHECK (id <> ''),
    visit TEXT CHECK (visit <> '') REFERENCES visits (visit),
    serial TEXT CHECK (serial <> ''),
    name TEXT NOT NULL CHECK (name <> ''),
    sha256 TEXT NOT NULL CHECK (sha256 <> ''),
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER attachments_no_update BEFORE UPDATE ON attachments
BEGIN
    SELECT RAISE(ABORT, 'attachments is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER attachments_no_delete BEFORE DELETE ON attachments
BEGIN
    SELECT RAISE(ABORT, 'attachments is a record: no row of it is ever deleted');
END;

CREATE TABLE merges (
    entry INTEGER NOT NULL REFERENCES journal (seq),
    book TEXT NOT NULL CHECK (book <> ''),
    merged_s INTEGER NOT NULL,
    merged_offset_min INTEGER NOT NULL CHECK (merged_offset_min BETWEEN -899 AND 899),
    taken INTEGER NOT NULL,
    unchanged INTEGER NOT NULL,
    clashes INTEGER NOT NULL,
    person TEXT CHECK (person <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    PRIMARY KEY (entry)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER merges_no_update BEFORE UPDATE ON merges
BEGIN
    SELECT RAISE(ABORT, 'merges is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER merges_no_delete BEFORE DELETE ON merges
BEGIN
    SELECT RAISE(ABORT, 'merges is a record: no row of it is ever deleted');
END;

CREATE TABLE merge_clashes (
    id TEXT NOT NULL CHECK (id <> ''),
    kind TEXT NOT NULL CHECK (kind <> ''),
    first_row TEXT NOT NULL CHECK (first_row <> ''),
    second_row TEXT NOT NULL CHECK (second_row <> ''),
    found_s INTEGER NOT NULL,
    found_offset_min INTEGER NOT NULL CHECK (found_offset_min BETWEEN -899 AND 899),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER merge_clashes_no_update BEFORE UPDATE ON merge_clashes
BEGIN
    SELECT RAISE(ABORT, 'merge_clashes is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER merge_clashes_no_delete BEFORE DELETE ON merge_clashes
BEGIN
    SELECT RAISE(ABORT, 'merge_clashes is a record: no row of it is ever deleted');
END;

CREATE TABLE clash_settlements (
    id TEXT NOT NULL CHECK (id <> '') REFERENCES merge_clashes (id),
    settled TEXT NOT NULL CHECK (settled <> ''),
    person TEXT NOT NULL CHECK (person <> ''),
    why TEXT NOT NULL CHECK (why <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id, entry)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER clash_settlements_no_update BEFORE UPDATE ON clash_settlements
BEGIN
    SELECT RAISE(ABORT, 'clash_settlements is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER clash_settlements_no_delete BEFORE DELETE ON clash_settlements
BEGIN
    SELECT RAISE(ABORT, 'clash_settlements is a record: no row of it is ever deleted');
END;
