-- Upkeep and rounds: proposals and their answers, deferrals, what was published and done. Records like all others: dated,
-- journaled, never changed.

-- Beside a reading: the bottle itself, the meter's rounding step, its place in the round (carry-over).
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
CREATE TRIGGER reading_bottles_no_update BEFORE UPDATE ON reading_bottles
BEGIN
    SELECT RAISE(ABORT, 'reading_bottles is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER reading_bottles_no_delete BEFORE DELETE ON reading_bottles
BEGIN
    SELECT RAISE(ABORT, 'reading_bottles is a record: no row of it is ever deleted');
END;

-- Steps that were done as one and can't be told apart in their effect.
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
CREATE TRIGGER action_bundles_no_update BEFORE UPDATE ON action_bundles
BEGIN
    SELECT RAISE(ABORT, 'action_bundles is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER action_bundles_no_delete BEFORE DELETE ON action_bundles
BEGIN
    SELECT RAISE(ABORT, 'action_bundles is a record: no row of it is ever deleted');
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
CREATE TRIGGER sensor_baselines_no_update BEFORE UPDATE ON sensor_baselines
BEGIN
    SELECT RAISE(ABORT, 'sensor_baselines is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER sensor_baselines_no_delete BEFORE DELETE ON sensor_baselines
BEGIN
    SELECT RAISE(ABORT, 'sensor_baselines is a record: no row of it is ever deleted');
END;

-- What a fault turned out to be, and how that was seen: the only source for learning.
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
CREATE TRIGGER finding_confirmations_no_update BEFORE UPDATE ON finding_confirmations
BEGIN
    SELECT RAISE(ABORT, 'finding_confirmations is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER finding_confirmations_no_delete BEFORE DELETE ON finding_confirmations
BEGIN
    SELECT RAISE(ABORT, 'finding_confirmations is a record: no row of it is ever deleted');
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
CREATE TRIGGER task_rules_in_force_no_update BEFORE UPDATE ON task_rules_in_force
BEGIN
    SELECT RAISE(ABORT, 'task_rules_in_force is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER task_rules_in_force_no_delete BEFORE DELETE ON task_rules_in_force
BEGIN
    SELECT RAISE(ABORT, 'task_rules_in_force is a record: no row of it is ever deleted');
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
CREATE TRIGGER proposals_no_update BEFORE UPDATE ON proposals
BEGIN
    SELECT RAISE(ABORT, 'proposals is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER proposals_no_delete BEFORE DELETE ON proposals
BEGIN
    SELECT RAISE(ABORT, 'proposals is a record: no row of it is ever deleted');
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
CREATE TRIGGER proposal_answers_no_update BEFORE UPDATE ON proposal_answers
BEGIN
    SELECT RAISE(ABORT, 'proposal_answers is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER proposal_answers_no_delete BEFORE DELETE ON proposal_answers
BEGIN
    SELECT RAISE(ABORT, 'proposal_answers is a record: no row of it is ever deleted');
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
CREATE TRIGGER deferrals_no_update BEFORE UPDATE ON deferrals
BEGIN
    SELECT RAISE(ABORT, 'deferrals is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER deferrals_no_delete BEFORE DELETE ON deferrals
BEGIN
    SELECT RAISE(ABORT, 'deferrals is a record: no row of it is ever deleted');
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
CREATE TRIGGER tasks_done_no_update BEFORE UPDATE ON tasks_done
BEGIN
    SELECT RAISE(ABORT, 'tasks_done is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER tasks_done_no_delete BEFORE DELETE ON tasks_done
BEGIN
    SELECT RAISE(ABORT, 'tasks_done is a record: no row of it is ever deleted');
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
CREATE TRIGGER rounds_published_no_update BEFORE UPDATE ON rounds_published
BEGIN
    SELECT RAISE(ABORT, 'rounds_published is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER rounds_published_no_delete BEFORE DELETE ON rounds_published
BEGIN
    SELECT RAISE(ABORT, 'rounds_published is a record: no row of it is ever deleted');
END;

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
CREATE TRIGGER round_jobs_no_update BEFORE UPDATE ON round_jobs
BEGIN
    SELECT RAISE(ABORT, 'round_jobs is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER round_jobs_no_delete BEFORE DELETE ON round_jobs
BEGIN
    SELECT RAISE(ABORT, 'round_jobs is a record: no row of it is ever deleted');
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
CREATE TRIGGER round_results_no_update BEFORE UPDATE ON round_results
BEGIN
    SELECT RAISE(ABORT, 'round_results is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER round_results_no_delete BEFORE DELETE ON round_results
BEGIN
    SELECT RAISE(ABORT, 'round_results is a record: no row of it is ever deleted');
END;
