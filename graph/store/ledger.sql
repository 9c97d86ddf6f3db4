-- The ledger. The triggers keep out what the contract forbids.
CREATE TABLE entry (
    seq   INTEGER PRIMARY KEY,  -- place in the ledger, from 1 without gaps
    batch INTEGER NOT NULL,     -- seq of the first entry of its batch
    at    INTEGER NOT NULL,     -- record time, milliseconds since 1970 UTC
    role  TEXT NOT NULL,        -- who recorded it
    act   TEXT NOT NULL,
    body  TEXT NOT NULL,        -- canonical JSON, to the letter
    seal  BLOB NOT NULL         -- SHA-256
) STRICT;

CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT raise(ABORT, 'entries are never changed'); END;

CREATE TRIGGER entry_is_never_removed BEFORE DELETE ON entry
BEGIN SELECT raise(ABORT, 'entries are never removed'); END;

CREATE TRIGGER entry_comes_last BEFORE INSERT ON entry
WHEN new.seq <> 1 + coalesce((SELECT max(seq) FROM entry), 0)
BEGIN SELECT raise(ABORT, 'an entry is added at the end and nowhere else'); END;
