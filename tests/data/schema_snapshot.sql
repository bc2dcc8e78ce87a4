CREATE TABLE action_bundles (
    visit TEXT NOT NULL CHECK (visit <> ''),
    seq INTEGER NOT NULL,
    bundle TEXT NOT NULL CHECK (bundle <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (visit, seq),
    FOREIGN KEY (visit, seq) REFERENCES actions (visit, seq)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER action_bundles_no_delete BEFORE DELETE ON action_bundles
BEGIN
    SELECT RAISE(ABORT, 'action_bundles is a record: no row of it is ever deleted');
END;

CREATE TRIGGER action_bundles_no_update BEFORE UPDATE ON action_bundles
BEGIN
    SELECT RAISE(ABORT, 'action_bundles is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER actions_no_delete BEFORE DELETE ON actions
BEGIN
    SELECT RAISE(ABORT, 'actions is a record: no row of it is ever deleted');
END;

CREATE TRIGGER actions_no_update BEFORE UPDATE ON actions
BEGIN
    SELECT RAISE(ABORT, 'actions is a record: it is corrected by a new row, never changed');
END;

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

CREATE TRIGGER attachments_no_delete BEFORE DELETE ON attachments
BEGIN
    SELECT RAISE(ABORT, 'attachments is a record: no row of it is ever deleted');
END;

CREATE TRIGGER attachments_no_update BEFORE UPDATE ON attachments
BEGIN
    SELECT RAISE(ABORT, 'attachments is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER checks_no_delete BEFORE DELETE ON checks
BEGIN
    SELECT RAISE(ABORT, 'checks is a record: no row of it is ever deleted');
END;

CREATE TRIGGER checks_no_update BEFORE UPDATE ON checks
BEGIN
    SELECT RAISE(ABORT, 'checks is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE clash_settlements (
    clash TEXT NOT NULL CHECK (length(clash) = 64),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    seen TEXT NOT NULL CHECK (seen <> ''),
    content TEXT CHECK (content <> ''),
    person TEXT NOT NULL CHECK (person <> ''),
    why TEXT NOT NULL CHECK (why <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    PRIMARY KEY (clash, entry)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER clash_settlements_no_delete BEFORE DELETE ON clash_settlements
BEGIN
    SELECT RAISE(ABORT, 'clash_settlements is a record: no row of it is ever deleted');
END;

CREATE TRIGGER clash_settlements_no_update BEFORE UPDATE ON clash_settlements
BEGIN
    SELECT RAISE(ABORT, 'clash_settlements is a record: it is corrected by a new row, never changed');
END;

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

CREATE TRIGGER corrections_no_delete BEFORE DELETE ON corrections
BEGIN
    SELECT RAISE(ABORT, 'corrections is a record: no row of it is ever deleted');
END;

CREATE TRIGGER corrections_no_update BEFORE UPDATE ON corrections
BEGIN
    SELECT RAISE(ABORT, 'corrections is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER decision_outcomes_no_delete BEFORE DELETE ON decision_outcomes
BEGIN
    SELECT RAISE(ABORT, 'decision_outcomes is a record: no row of it is ever deleted');
END;

CREATE TRIGGER decision_outcomes_no_update BEFORE UPDATE ON decision_outcomes
BEGIN
    SELECT RAISE(ABORT, 'decision_outcomes is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER decisions_no_delete BEFORE DELETE ON decisions
BEGIN
    SELECT RAISE(ABORT, 'decisions is a record: no row of it is ever deleted');
END;

CREATE TRIGGER decisions_no_update BEFORE UPDATE ON decisions
BEGIN
    SELECT RAISE(ABORT, 'decisions is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE deferrals (
    subject TEXT NOT NULL CHECK (subject <> ''),
    task TEXT NOT NULL CHECK (task <> ''),
    due_s INTEGER NOT NULL,
    due_offset_min INTEGER NOT NULL CHECK (due_offset_min BETWEEN -899 AND 899),
    until_s INTEGER NOT NULL,
    until_offset_min INTEGER NOT NULL CHECK (until_offset_min BETWEEN -899 AND 899),
    person TEXT NOT NULL CHECK (person <> ''),
    why TEXT NOT NULL CHECK (why <> ''),
    expected_loss REAL,
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (subject, task, due_s, entry)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER deferrals_no_delete BEFORE DELETE ON deferrals
BEGIN
    SELECT RAISE(ABORT, 'deferrals is a record: no row of it is ever deleted');
END;

CREATE TRIGGER deferrals_no_update BEFORE UPDATE ON deferrals
BEGIN
    SELECT RAISE(ABORT, 'deferrals is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE drafts (
    id TEXT NOT NULL PRIMARY KEY CHECK (id <> ''),
    serial TEXT,
    tag TEXT,
    person TEXT,
    kept_s INTEGER NOT NULL,
    kept_offset_min INTEGER NOT NULL,
    fields INTEGER NOT NULL CHECK (fields >= 0),
    set_aside INTEGER NOT NULL CHECK (set_aside IN (0, 1)),
    content TEXT NOT NULL
) STRICT, WITHOUT ROWID;

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

CREATE TRIGGER dry_outs_no_delete BEFORE DELETE ON dry_outs
BEGIN
    SELECT RAISE(ABORT, 'dry_outs is a record: no row of it is ever deleted');
END;

CREATE TRIGGER dry_outs_no_update BEFORE UPDATE ON dry_outs
BEGIN
    SELECT RAISE(ABORT, 'dry_outs is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER equipment_no_delete BEFORE DELETE ON equipment
BEGIN
    SELECT RAISE(ABORT, 'equipment is a record: no row of it is ever deleted');
END;

CREATE TRIGGER equipment_no_update BEFORE UPDATE ON equipment
BEGIN
    SELECT RAISE(ABORT, 'equipment is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE finding_confirmations (
    visit TEXT NOT NULL CHECK (visit <> '') REFERENCES visits (visit),
    code TEXT NOT NULL CHECK (code <> ''),
    how TEXT NOT NULL CHECK (how <> ''),
    confirmed_s INTEGER NOT NULL,
    confirmed_offset_min INTEGER NOT NULL CHECK (confirmed_offset_min BETWEEN -899 AND 899),
    person TEXT CHECK (person <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (visit, code, entry)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER finding_confirmations_no_delete BEFORE DELETE ON finding_confirmations
BEGIN
    SELECT RAISE(ABORT, 'finding_confirmations is a record: no row of it is ever deleted');
END;

CREATE TRIGGER finding_confirmations_no_update BEFORE UPDATE ON finding_confirmations
BEGIN
    SELECT RAISE(ABORT, 'finding_confirmations is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER forecast_points_no_delete BEFORE DELETE ON forecast_points
BEGIN
    SELECT RAISE(ABORT, 'forecast_points is a record: no row of it is ever deleted');
END;

CREATE TRIGGER forecast_points_no_update BEFORE UPDATE ON forecast_points
BEGIN
    SELECT RAISE(ABORT, 'forecast_points is a record: it is corrected by a new row, never changed');
END;

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

CREATE TRIGGER forecasts_issued_no_delete BEFORE DELETE ON forecasts_issued
BEGIN
    SELECT RAISE(ABORT, 'forecasts_issued is a record: no row of it is ever deleted');
END;

CREATE TRIGGER forecasts_issued_no_update BEFORE UPDATE ON forecasts_issued
BEGIN
    SELECT RAISE(ABORT, 'forecasts_issued is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER grabs_no_delete BEFORE DELETE ON grabs
BEGIN
    SELECT RAISE(ABORT, 'grabs is a record: no row of it is ever deleted');
END;

CREATE TRIGGER grabs_no_update BEFORE UPDATE ON grabs
BEGIN
    SELECT RAISE(ABORT, 'grabs is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER hold_ends_no_delete BEFORE DELETE ON hold_ends
BEGIN
    SELECT RAISE(ABORT, 'hold_ends is a record: no row of it is ever deleted');
END;

CREATE TRIGGER hold_ends_no_update BEFORE UPDATE ON hold_ends
BEGIN
    SELECT RAISE(ABORT, 'hold_ends is a record: it is corrected by a new row, never changed');
END;

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

CREATE TRIGGER holds_no_delete BEFORE DELETE ON holds
BEGIN
    SELECT RAISE(ABORT, 'holds is a record: no row of it is ever deleted');
END;

CREATE TRIGGER holds_no_update BEFORE UPDATE ON holds
BEGIN
    SELECT RAISE(ABORT, 'holds is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE journal (
    seq INTEGER NOT NULL PRIMARY KEY CHECK (seq > 0),
    time_s INTEGER NOT NULL,
    time_offset_min INTEGER NOT NULL CHECK (time_offset_min BETWEEN -899 AND 899),
    person TEXT CHECK (person <> ''),
    what TEXT NOT NULL CHECK (what <> ''),
    key TEXT NOT NULL,
    serial TEXT CHECK (serial <> ''),
    text TEXT NOT NULL,
    content TEXT NOT NULL CHECK (length(content) = 64),
    hash TEXT NOT NULL CHECK (length(hash) = 64)
) STRICT;

CREATE TRIGGER journal_no_delete BEFORE DELETE ON journal
BEGIN
    SELECT RAISE(ABORT, 'journal is a record: no row of it is ever deleted');
END;

CREATE TRIGGER journal_no_update BEFORE UPDATE ON journal
BEGIN
    SELECT RAISE(ABORT, 'journal is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE latest_state (
    serial TEXT NOT NULL PRIMARY KEY REFERENCES sensors (serial),
    tag TEXT,
    place TEXT,
    site TEXT,
    area TEXT,
    kind TEXT NOT NULL,
    model TEXT NOT NULL,
    placed_since_s INTEGER,
    placed_since_offset_min INTEGER,
    measured_s INTEGER,
    measured_offset_min INTEGER,
    phase TEXT,
    efficiency_pct REAL,
    u_efficiency_pct REAL,
    offset_mv REAL,
    u_offset_mv REAL,
    t90_s REAL,
    span_pct REAL,
    signal TEXT,
    verdict TEXT NOT NULL,
    guilty TEXT,
    top_finding TEXT,
    sentence TEXT,
    missing TEXT,
    next_due INTEGER,
    last_as_left TEXT,
    rules TEXT NOT NULL,
    engine TEXT NOT NULL,
    computed_at_s INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

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

CREATE TRIGGER legacy_no_delete BEFORE DELETE ON legacy
BEGIN
    SELECT RAISE(ABORT, 'legacy is a record: no row of it is ever deleted');
END;

CREATE TRIGGER legacy_no_update BEFORE UPDATE ON legacy
BEGIN
    SELECT RAISE(ABORT, 'legacy is a record: it is corrected by a new row, never changed');
END;

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

CREATE TRIGGER lot_events_no_delete BEFORE DELETE ON lot_events
BEGIN
    SELECT RAISE(ABORT, 'lot_events is a record: no row of it is ever deleted');
END;

CREATE TRIGGER lot_events_no_update BEFORE UPDATE ON lot_events
BEGIN
    SELECT RAISE(ABORT, 'lot_events is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER lots_no_delete BEFORE DELETE ON lots
BEGIN
    SELECT RAISE(ABORT, 'lots is a record: no row of it is ever deleted');
END;

CREATE TRIGGER lots_no_update BEFORE UPDATE ON lots
BEGIN
    SELECT RAISE(ABORT, 'lots is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE merge_variants (
    clash TEXT NOT NULL CHECK (length(clash) = 64),
    digest TEXT NOT NULL CHECK (length(digest) = 64),
    row_key TEXT NOT NULL CHECK (row_key <> ''),
    content TEXT NOT NULL CHECK (content <> ''),
    found_s INTEGER NOT NULL,
    found_offset_min INTEGER NOT NULL CHECK (found_offset_min BETWEEN -899 AND 899),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (clash, digest)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER merge_variants_no_delete BEFORE DELETE ON merge_variants
BEGIN
    SELECT RAISE(ABORT, 'merge_variants is a record: no row of it is ever deleted');
END;

CREATE TRIGGER merge_variants_no_update BEFORE UPDATE ON merge_variants
BEGIN
    SELECT RAISE(ABORT, 'merge_variants is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER merges_no_delete BEFORE DELETE ON merges
BEGIN
    SELECT RAISE(ABORT, 'merges is a record: no row of it is ever deleted');
END;

CREATE TRIGGER merges_no_update BEFORE UPDATE ON merges
BEGIN
    SELECT RAISE(ABORT, 'merges is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE meta (
    key TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

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

CREATE TRIGGER models_no_delete BEFORE DELETE ON models
BEGIN
    SELECT RAISE(ABORT, 'models is a record: no row of it is ever deleted');
END;

CREATE TRIGGER models_no_update BEFORE UPDATE ON models
BEGIN
    SELECT RAISE(ABORT, 'models is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER order_events_no_delete BEFORE DELETE ON order_events
BEGIN
    SELECT RAISE(ABORT, 'order_events is a record: no row of it is ever deleted');
END;

CREATE TRIGGER order_events_no_update BEFORE UPDATE ON order_events
BEGIN
    SELECT RAISE(ABORT, 'order_events is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER orders_no_delete BEFORE DELETE ON orders
BEGIN
    SELECT RAISE(ABORT, 'orders is a record: no row of it is ever deleted');
END;

CREATE TRIGGER orders_no_update BEFORE UPDATE ON orders
BEGIN
    SELECT RAISE(ABORT, 'orders is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER part_ends_no_delete BEFORE DELETE ON part_ends
BEGIN
    SELECT RAISE(ABORT, 'part_ends is a record: no row of it is ever deleted');
END;

CREATE TRIGGER part_ends_no_update BEFORE UPDATE ON part_ends
BEGIN
    SELECT RAISE(ABORT, 'part_ends is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER parts_no_delete BEFORE DELETE ON parts
BEGIN
    SELECT RAISE(ABORT, 'parts is a record: no row of it is ever deleted');
END;

CREATE TRIGGER parts_no_update BEFORE UPDATE ON parts
BEGIN
    SELECT RAISE(ABORT, 'parts is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER people_no_delete BEFORE DELETE ON people
BEGIN
    SELECT RAISE(ABORT, 'people is a record: no row of it is ever deleted');
END;

CREATE TRIGGER people_no_update BEFORE UPDATE ON people
BEGIN
    SELECT RAISE(ABORT, 'people is a record: it is corrected by a new row, never changed');
END;

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

CREATE TRIGGER person_consents_no_delete BEFORE DELETE ON person_consents
BEGIN
    SELECT RAISE(ABORT, 'person_consents is a record: no row of it is ever deleted');
END;

CREATE TRIGGER person_consents_no_update BEFORE UPDATE ON person_consents
BEGIN
    SELECT RAISE(ABORT, 'person_consents is a record: it is corrected by a new row, never changed');
END;

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

CREATE TRIGGER placement_ends_no_delete BEFORE DELETE ON placement_ends
BEGIN
    SELECT RAISE(ABORT, 'placement_ends is a record: no row of it is ever deleted');
END;

CREATE TRIGGER placement_ends_no_update BEFORE UPDATE ON placement_ends
BEGIN
    SELECT RAISE(ABORT, 'placement_ends is a record: it is corrected by a new row, never changed');
END;

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

CREATE TRIGGER placements_no_delete BEFORE DELETE ON placements
BEGIN
    SELECT RAISE(ABORT, 'placements is a record: no row of it is ever deleted');
END;

CREATE TRIGGER placements_no_update BEFORE UPDATE ON placements
BEGIN
    SELECT RAISE(ABORT, 'placements is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER points_no_delete BEFORE DELETE ON points
BEGIN
    SELECT RAISE(ABORT, 'points is a record: no row of it is ever deleted');
END;

CREATE TRIGGER points_no_update BEFORE UPDATE ON points
BEGIN
    SELECT RAISE(ABORT, 'points is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER prices_no_delete BEFORE DELETE ON prices
BEGIN
    SELECT RAISE(ABORT, 'prices is a record: no row of it is ever deleted');
END;

CREATE TRIGGER prices_no_update BEFORE UPDATE ON prices
BEGIN
    SELECT RAISE(ABORT, 'prices is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE proposal_answers (
    id TEXT NOT NULL CHECK (id <> '') REFERENCES proposals (id),
    answer TEXT NOT NULL CHECK (answer IN ('approved', 'refused', 'withdrawn')),
    answered_s INTEGER NOT NULL,
    answered_offset_min INTEGER NOT NULL CHECK (answered_offset_min BETWEEN -899 AND 899),
    person TEXT NOT NULL CHECK (person <> ''),
    why TEXT CHECK (why <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id, entry)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER proposal_answers_no_delete BEFORE DELETE ON proposal_answers
BEGIN
    SELECT RAISE(ABORT, 'proposal_answers is a record: no row of it is ever deleted');
END;

CREATE TRIGGER proposal_answers_no_update BEFORE UPDATE ON proposal_answers
BEGIN
    SELECT RAISE(ABORT, 'proposal_answers is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE proposals (
    id TEXT NOT NULL CHECK (id <> ''),
    subject TEXT NOT NULL CHECK (subject <> ''),
    kind TEXT NOT NULL CHECK (kind <> ''),
    content TEXT NOT NULL CHECK (content <> ''),
    made_s INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -899 AND 899),
    engine TEXT CHECK (engine <> ''),
    rules TEXT CHECK (rules <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER proposals_no_delete BEFORE DELETE ON proposals
BEGIN
    SELECT RAISE(ABORT, 'proposals is a record: no row of it is ever deleted');
END;

CREATE TRIGGER proposals_no_update BEFORE UPDATE ON proposals
BEGIN
    SELECT RAISE(ABORT, 'proposals is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE reading_bottles (
    visit TEXT NOT NULL CHECK (visit <> ''),
    seq INTEGER NOT NULL,
    bottle TEXT CHECK (bottle <> ''),
    rounding_step_mv REAL,
    place_in_round INTEGER,
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (visit, seq),
    FOREIGN KEY (visit, seq) REFERENCES readings (visit, seq)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER reading_bottles_no_delete BEFORE DELETE ON reading_bottles
BEGIN
    SELECT RAISE(ABORT, 'reading_bottles is a record: no row of it is ever deleted');
END;

CREATE TRIGGER reading_bottles_no_update BEFORE UPDATE ON reading_bottles
BEGIN
    SELECT RAISE(ABORT, 'reading_bottles is a record: it is corrected by a new row, never changed');
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
    entry INTEGER NOT NULL REFERENCES journal (seq), settle TEXT CHECK (settle <> ''),
    PRIMARY KEY (visit, seq),
    CHECK (mv IS NOT NULL OR why_missing IS NOT NULL)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER readings_no_delete BEFORE DELETE ON readings
BEGIN
    SELECT RAISE(ABORT, 'readings is a record: no row of it is ever deleted');
END;

CREATE TRIGGER readings_no_update BEFORE UPDATE ON readings
BEGIN
    SELECT RAISE(ABORT, 'readings is a record: it is corrected by a new row, never changed');
END;

CREATE VIRTUAL TABLE remark_search USING fts5 (visit UNINDEXED, serial UNINDEXED, remark, tokenize = 'trigram');

CREATE TABLE round_jobs (
    round TEXT NOT NULL CHECK (round <> '') REFERENCES rounds_published (round),
    place INTEGER NOT NULL CHECK (place > 0),
    serial TEXT CHECK (serial <> ''),
    tag TEXT CHECK (tag <> ''),
    task TEXT NOT NULL CHECK (task <> ''),
    day INTEGER NOT NULL,
    person TEXT NOT NULL CHECK (person <> ''),
    minutes REAL,
    area TEXT CHECK (area <> ''),
    why TEXT CHECK (why <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (round, place)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER round_jobs_no_delete BEFORE DELETE ON round_jobs
BEGIN
    SELECT RAISE(ABORT, 'round_jobs is a record: no row of it is ever deleted');
END;

CREATE TRIGGER round_jobs_no_update BEFORE UPDATE ON round_jobs
BEGIN
    SELECT RAISE(ABORT, 'round_jobs is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE round_results (
    round TEXT NOT NULL CHECK (round <> '') REFERENCES rounds_published (round),
    place INTEGER NOT NULL CHECK (place > 0),
    done INTEGER CHECK (done IN (0, 1)),
    minutes REAL,
    visit TEXT CHECK (visit <> '') REFERENCES visits (visit),
    why_not TEXT CHECK (why_not <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (round, place, entry)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER round_results_no_delete BEFORE DELETE ON round_results
BEGIN
    SELECT RAISE(ABORT, 'round_results is a record: no row of it is ever deleted');
END;

CREATE TRIGGER round_results_no_update BEFORE UPDATE ON round_results
BEGIN
    SELECT RAISE(ABORT, 'round_results is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE rounds_published (
    round TEXT NOT NULL CHECK (round <> ''),
    week TEXT NOT NULL CHECK (week <> ''),
    seed INTEGER,
    objective TEXT CHECK (objective <> ''),
    bound REAL,
    gap_pct REAL,
    kit TEXT CHECK (kit <> ''),
    engine TEXT NOT NULL CHECK (engine <> ''),
    rules TEXT NOT NULL CHECK (rules <> ''),
    person TEXT CHECK (person <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (round)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER rounds_published_no_delete BEFORE DELETE ON rounds_published
BEGIN
    SELECT RAISE(ABORT, 'rounds_published is a record: no row of it is ever deleted');
END;

CREATE TRIGGER rounds_published_no_update BEFORE UPDATE ON rounds_published
BEGIN
    SELECT RAISE(ABORT, 'rounds_published is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE rule_adoptions (
    entry INTEGER NOT NULL REFERENCES journal (seq),
    id TEXT NOT NULL CHECK (id <> '') REFERENCES rule_sets (id),
    adopted_s INTEGER NOT NULL,
    adopted_offset_min INTEGER NOT NULL CHECK (adopted_offset_min BETWEEN -899 AND 899),
    person TEXT CHECK (person <> ''),
    why TEXT CHECK (why <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    PRIMARY KEY (entry)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER rule_adoptions_no_delete BEFORE DELETE ON rule_adoptions
BEGIN
    SELECT RAISE(ABORT, 'rule_adoptions is a record: no row of it is ever deleted');
END;

CREATE TRIGGER rule_adoptions_no_update BEFORE UPDATE ON rule_adoptions
BEGIN
    SELECT RAISE(ABORT, 'rule_adoptions is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE rule_sets (
    id TEXT NOT NULL CHECK (id <> ''),
    text TEXT NOT NULL CHECK (text <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER rule_sets_no_delete BEFORE DELETE ON rule_sets
BEGIN
    SELECT RAISE(ABORT, 'rule_sets is a record: no row of it is ever deleted');
END;

CREATE TRIGGER rule_sets_no_update BEFORE UPDATE ON rule_sets
BEGIN
    SELECT RAISE(ABORT, 'rule_sets is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE sensor_baselines (
    serial TEXT NOT NULL CHECK (serial <> '') REFERENCES sensors (serial),
    quantity TEXT NOT NULL CHECK (quantity <> ''),
    measured_s INTEGER NOT NULL,
    measured_offset_min INTEGER NOT NULL CHECK (measured_offset_min BETWEEN -899 AND 899),
    value REAL NOT NULL,
    u REAL,
    visit TEXT CHECK (visit <> '') REFERENCES visits (visit),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (serial, quantity, measured_s)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER sensor_baselines_no_delete BEFORE DELETE ON sensor_baselines
BEGIN
    SELECT RAISE(ABORT, 'sensor_baselines is a record: no row of it is ever deleted');
END;

CREATE TRIGGER sensor_baselines_no_update BEFORE UPDATE ON sensor_baselines
BEGIN
    SELECT RAISE(ABORT, 'sensor_baselines is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER sensors_no_delete BEFORE DELETE ON sensors
BEGIN
    SELECT RAISE(ABORT, 'sensors is a record: no row of it is ever deleted');
END;

CREATE TRIGGER sensors_no_update BEFORE UPDATE ON sensors
BEGIN
    SELECT RAISE(ABORT, 'sensors is a record: it is corrected by a new row, never changed');
END;

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

CREATE TRIGGER shared_shifts_no_delete BEFORE DELETE ON shared_shifts
BEGIN
    SELECT RAISE(ABORT, 'shared_shifts is a record: no row of it is ever deleted');
END;

CREATE TRIGGER shared_shifts_no_update BEFORE UPDATE ON shared_shifts
BEGIN
    SELECT RAISE(ABORT, 'shared_shifts is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE shop_names (
    entry INTEGER NOT NULL REFERENCES journal (seq),
    shop TEXT NOT NULL CHECK (shop <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    PRIMARY KEY (entry)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER shop_names_no_delete BEFORE DELETE ON shop_names
BEGIN
    SELECT RAISE(ABORT, 'shop_names is a record: no row of it is ever deleted');
END;

CREATE TRIGGER shop_names_no_update BEFORE UPDATE ON shop_names
BEGIN
    SELECT RAISE(ABORT, 'shop_names is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE sites (
    site TEXT NOT NULL CHECK (site <> ''),
    note TEXT CHECK (note <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (site)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER sites_no_delete BEFORE DELETE ON sites
BEGIN
    SELECT RAISE(ABORT, 'sites is a record: no row of it is ever deleted');
END;

CREATE TRIGGER sites_no_update BEFORE UPDATE ON sites
BEGIN
    SELECT RAISE(ABORT, 'sites is a record: it is corrected by a new row, never changed');
END;

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

CREATE TRIGGER standards_no_delete BEFORE DELETE ON standards
BEGIN
    SELECT RAISE(ABORT, 'standards is a record: no row of it is ever deleted');
END;

CREATE TRIGGER standards_no_update BEFORE UPDATE ON standards
BEGIN
    SELECT RAISE(ABORT, 'standards is a record: it is corrected by a new row, never changed');
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

CREATE TRIGGER stock_no_delete BEFORE DELETE ON stock
BEGIN
    SELECT RAISE(ABORT, 'stock is a record: no row of it is ever deleted');
END;

CREATE TRIGGER stock_no_update BEFORE UPDATE ON stock
BEGIN
    SELECT RAISE(ABORT, 'stock is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE task_rules_in_force (
    id TEXT NOT NULL CHECK (id <> ''),
    scope TEXT NOT NULL CHECK (scope <> ''),
    task TEXT NOT NULL CHECK (task <> ''),
    interval_days REAL NOT NULL,
    from_s INTEGER NOT NULL,
    from_offset_min INTEGER NOT NULL CHECK (from_offset_min BETWEEN -899 AND 899),
    to_s INTEGER,
    to_offset_min INTEGER CHECK ((to_s IS NULL) = (to_offset_min IS NULL) AND to_offset_min BETWEEN -899 AND 899),
    approver TEXT CHECK (approver <> ''),
    evidence TEXT CHECK (evidence <> ''),
    floor_days REAL,
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER task_rules_in_force_no_delete BEFORE DELETE ON task_rules_in_force
BEGIN
    SELECT RAISE(ABORT, 'task_rules_in_force is a record: no row of it is ever deleted');
END;

CREATE TRIGGER task_rules_in_force_no_update BEFORE UPDATE ON task_rules_in_force
BEGIN
    SELECT RAISE(ABORT, 'task_rules_in_force is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE tasks_done (
    subject TEXT NOT NULL CHECK (subject <> ''),
    task TEXT NOT NULL CHECK (task <> ''),
    due_s INTEGER NOT NULL,
    due_offset_min INTEGER NOT NULL CHECK (due_offset_min BETWEEN -899 AND 899),
    done_s INTEGER NOT NULL,
    done_offset_min INTEGER NOT NULL CHECK (done_offset_min BETWEEN -899 AND 899),
    visit TEXT CHECK (visit <> '') REFERENCES visits (visit),
    person TEXT CHECK (person <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (subject, task, due_s, entry)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER tasks_done_no_delete BEFORE DELETE ON tasks_done
BEGIN
    SELECT RAISE(ABORT, 'tasks_done is a record: no row of it is ever deleted');
END;

CREATE TRIGGER tasks_done_no_update BEFORE UPDATE ON tasks_done
BEGIN
    SELECT RAISE(ABORT, 'tasks_done is a record: it is corrected by a new row, never changed');
END;

CREATE TABLE visit_figures (
    visit TEXT NOT NULL REFERENCES visits (visit),
    phase TEXT NOT NULL,
    kind TEXT NOT NULL,
    efficiency_pct REAL,
    u_efficiency_pct REAL,
    slope_mv_per_ph REAL,
    offset_mv REAL,
    u_offset_mv REAL,
    zero_point_ph REAL,
    residual_mv REAL,
    acid_leg_pct REAL,
    alkaline_leg_pct REAL,
    span_pct REAL,
    u_span_pct REAL,
    t90_s REAL,
    u_at_process_ph REAL,
    covariance_00 REAL,
    covariance_01 REAL,
    covariance_11 REAL,
    missing TEXT,
    engine TEXT NOT NULL,
    rules TEXT NOT NULL,
    PRIMARY KEY (visit, phase)
) STRICT, WITHOUT ROWID;

CREATE TABLE visit_findings (
    visit TEXT NOT NULL REFERENCES visits (visit),
    place INTEGER NOT NULL CHECK (place > 0),
    code TEXT NOT NULL,
    probability REAL CHECK (probability BETWEEN 0 AND 1),
    because TEXT,
    prior TEXT,
    tests_offered TEXT,
    test_chosen TEXT,
    engine TEXT NOT NULL,
    rules TEXT NOT NULL,
    PRIMARY KEY (visit, place)
) STRICT, WITHOUT ROWID;

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

CREATE TRIGGER visit_heads_no_delete BEFORE DELETE ON visit_heads
BEGIN
    SELECT RAISE(ABORT, 'visit_heads is a record: no row of it is ever deleted');
END;

CREATE TRIGGER visit_heads_no_update BEFORE UPDATE ON visit_heads
BEGIN
    SELECT RAISE(ABORT, 'visit_heads is a record: it is corrected by a new row, never changed');
END;

CREATE INDEX visits_by_sensor ON visits (serial, when_s);

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

CREATE TRIGGER visits_no_delete BEFORE DELETE ON visits
BEGIN
    SELECT RAISE(ABORT, 'visits is a record: no row of it is ever deleted');
END;

CREATE TRIGGER visits_no_update BEFORE UPDATE ON visits
BEGIN
    SELECT RAISE(ABORT, 'visits is a record: it is corrected by a new row, never changed');
END;

