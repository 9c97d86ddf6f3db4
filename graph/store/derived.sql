-- What is derived from the ledger. All of it may be dropped and built again.
-- 9223372036854775807 in a column "ended" means that it still stands.

-- Batches whose caller gave them an id.
CREATE TABLE batch (
    first INTEGER PRIMARY KEY,
    last  INTEGER NOT NULL,
    id    TEXT NOT NULL UNIQUE
) STRICT;

-- A short number for every id of a record, in the order of first mention.
CREATE TABLE record (
    id  INTEGER PRIMARY KEY,
    key TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE version (
    seq    INTEGER PRIMARY KEY,  -- the entry that says it
    record INTEGER NOT NULL,
    kind   TEXT NOT NULL,
    label  TEXT NOT NULL,
    at     INTEGER NOT NULL,
    ended  INTEGER NOT NULL      -- record time when it was superseded or withdrawn
) STRICT;
CREATE INDEX version_of_record ON version (record, ended);
CREATE UNIQUE INDEX version_standing ON version (record)
    WHERE ended = 9223372036854775807;
CREATE INDEX version_of_kind ON version (kind, ended);
CREATE INDEX version_at ON version (at);
CREATE INDEX version_ended ON version (ended) WHERE ended < 9223372036854775807;

-- Numbers that people gave to records; place 0 is the current one.
CREATE TABLE number (
    folded TEXT NOT NULL,
    seq    INTEGER NOT NULL,
    place  INTEGER NOT NULL,
    PRIMARY KEY (folded, seq, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE edge (
    seq      INTEGER NOT NULL,   -- the version that says it
    place    INTEGER NOT NULL,   -- which of the edges of that version
    record   INTEGER NOT NULL,   -- the record of that version
    src      INTEGER NOT NULL,
    word     TEXT NOT NULL,
    dst      INTEGER NOT NULL,
    earliest INTEGER,            -- days since 1970-01-01
    latest   INTEGER,
    source   INTEGER,
    strength TEXT,
    ended    INTEGER NOT NULL,
    PRIMARY KEY (seq, place)
) STRICT, WITHOUT ROWID;
CREATE INDEX edge_out ON edge (src, word, ended, dst);
CREATE INDEX edge_in ON edge (dst, word, ended, src);
CREATE INDEX edge_source ON edge (source, ended) WHERE source IS NOT NULL;

-- Words for search; rowid is the version. It holds no copy of the text.
CREATE VIRTUAL TABLE words USING fts5 (
    label, numbers, text,
    content = '', columnsize = 0, tokenize = 'unicode61 remove_diacritics 2'
);

CREATE TABLE tally (
    kind     TEXT PRIMARY KEY,
    standing INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
