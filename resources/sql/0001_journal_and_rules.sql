-- The journal: every write appends one entry for each record it adds. `content` is the SHA-256 of the record's rows,
-- `hash` that of this entry chained to the one before. An entry names the sensor it concerns, so that what is derived
-- from records knows what has become old.
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
CREATE TRIGGER journal_no_update BEFORE UPDATE ON journal
BEGIN
    SELECT RAISE(ABORT, 'journal is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER journal_no_delete BEFORE DELETE ON journal
BEGIN
    SELECT RAISE(ABORT, 'journal is a record: no row of it is ever deleted');
END;

-- What belongs to this file and not to the record: when it was last backed up, how far the derived tables reach.
CREATE TABLE meta (
    key TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- The shop's name, as it was given over time; the latest counts.
CREATE TABLE shop_names (
    entry INTEGER NOT NULL REFERENCES journal (seq),
    shop TEXT NOT NULL CHECK (shop <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    PRIMARY KEY (entry)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER shop_names_no_update BEFORE UPDATE ON shop_names
BEGIN
    SELECT RAISE(ABORT, 'shop_names is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER shop_names_no_delete BEFORE DELETE ON shop_names
BEGIN
    SELECT RAISE(ABORT, 'shop_names is a record: no row of it is ever deleted');
END;

-- Rule sets by name and version, as TOML text.
CREATE TABLE rule_sets (
    id TEXT NOT NULL CHECK (id <> ''),
    text TEXT NOT NULL CHECK (text <> ''),
    recorded_s INTEGER NOT NULL,
    recorded_offset_min INTEGER NOT NULL CHECK (recorded_offset_min BETWEEN -899 AND 899),
    entry INTEGER NOT NULL REFERENCES journal (seq),
    PRIMARY KEY (id)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER rule_sets_no_update BEFORE UPDATE ON rule_sets
BEGIN
    SELECT RAISE(ABORT, 'rule_sets is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER rule_sets_no_delete BEFORE DELETE ON rule_sets
BEGIN
    SELECT RAISE(ABORT, 'rule_sets is a record: no row of it is ever deleted');
END;

-- Which rule set was taken into force, when, by whom and why.
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
CREATE TRIGGER rule_adoptions_no_update BEFORE UPDATE ON rule_adoptions
BEGIN
    SELECT RAISE(ABORT, 'rule_adoptions is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER rule_adoptions_no_delete BEFORE DELETE ON rule_adoptions
BEGIN
    SELECT RAISE(ABORT, 'rule_adoptions is a record: no row of it is ever deleted');
END;
