-- Books that parted and meet again. Where both hold one row with different content, both contents are kept: the table
-- keeps the one it has, and every content that is known of the row stands in merge_variants, the same set in every book
-- whatever the order of merging. The one that counts is the earliest recorded (of two alike the smaller digest), until a
-- person settles it. No program wrote to the two tables of 0006 that these replace.
DROP TABLE clash_settlements;
DROP TABLE merge_clashes;

-- `clash` is the SHA-256 of row_key (the table and key columns as the journal's content writes them), `digest` that of the
-- content; `recorded` is when the row says it was recorded.
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
CREATE TRIGGER merge_variants_no_update BEFORE UPDATE ON merge_variants
BEGIN
    SELECT RAISE(ABORT, 'merge_variants is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER merge_variants_no_delete BEFORE DELETE ON merge_variants
BEGIN
    SELECT RAISE(ABORT, 'merge_variants is a record: no row of it is ever deleted');
END;

-- What a person decided about a clash. `seen` lists the digests that were known then: a content that comes later opens the
-- clash again. `content` is what counts from then on; empty where another new row (a correction, the end of a placement)
-- says so. Key columns come first (SQLite 3.40 takes other orders of a table without rowid for damage).
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
CREATE TRIGGER clash_settlements_no_update BEFORE UPDATE ON clash_settlements
BEGIN
    SELECT RAISE(ABORT, 'clash_settlements is a record: it is corrected by a new row, never changed');
END;
CREATE TRIGGER clash_settlements_no_delete BEFORE DELETE ON clash_settlements
BEGIN
    SELECT RAISE(ABORT, 'clash_settlements is a record: no row of it is ever deleted');
END;
