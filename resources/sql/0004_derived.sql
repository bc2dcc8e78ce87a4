-- What is worked out from the records, with the engine and rules that made it. Nothing here is a record: it may be thrown
-- away and rebuilt with the same result. Drafts and the search index are kept beside the records in the same way.

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

-- For the diagnosis by probabilities: each finding with what it was judged by.
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

-- One row for each sensor: all that a fleet list shows, so that it never touches readings. Meta key `latest_through`
-- holds the journal entry up to which these rows are current.
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

-- Remarks and notes by fragments of three letters and more.
CREATE VIRTUAL TABLE remark_search USING fts5 (visit UNINDEXED, serial UNINDEXED, remark, tokenize = 'trigram');
