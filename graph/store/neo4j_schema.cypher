// Constraints and indexes, each of the community edition. A uniqueness constraint brings its
// index. Every node names its archive first: one database may hold the archives of several
// institutions, and no question can leave its own.

// name: archive
CREATE CONSTRAINT archive_name IF NOT EXISTS
FOR (a:Archive) REQUIRE a.name IS UNIQUE

// name: entry
CREATE CONSTRAINT entry_seq IF NOT EXISTS
FOR (e:Entry) REQUIRE (e.archive, e.seq) IS UNIQUE

// name: record
CREATE CONSTRAINT record_key IF NOT EXISTS
FOR (r:Record) REQUIRE (r.archive, r.key) IS UNIQUE

// name: version
CREATE CONSTRAINT version_seq IF NOT EXISTS
FOR (v:Version) REQUIRE (v.archive, v.seq) IS UNIQUE

// name: standing
CREATE CONSTRAINT version_standing IF NOT EXISTS
FOR (v:Version) REQUIRE (v.archive, v.open) IS UNIQUE

// name: version_of_record
CREATE INDEX version_of_record IF NOT EXISTS FOR (v:Version) ON (v.archive, v.key)

// name: version_of_kind
CREATE INDEX version_of_kind IF NOT EXISTS FOR (v:Version) ON (v.archive, v.kind)

// name: version_at
CREATE INDEX version_at IF NOT EXISTS FOR (v:Version) ON (v.archive, v.at)

// name: version_ended
CREATE INDEX version_ended IF NOT EXISTS FOR (v:Version) ON (v.archive, v.ended)

// name: number
CREATE INDEX number_folded IF NOT EXISTS FOR (n:Number) ON (n.archive, n.folded)

// name: batch
CREATE CONSTRAINT batch_id IF NOT EXISTS
FOR (b:Batch) REQUIRE (b.archive, b.id) IS UNIQUE

// name: batch_first
CREATE INDEX batch_first IF NOT EXISTS FOR (b:Batch) ON (b.archive, b.first)

// name: tally
CREATE CONSTRAINT tally_kind IF NOT EXISTS
FOR (t:Tally) REQUIRE (t.archive, t.kind) IS UNIQUE

// name: words
CREATE FULLTEXT INDEX words IF NOT EXISTS
FOR (v:Version) ON EACH [v.label_words, v.number_words, v.text_words]
OPTIONS {indexConfig: {`fulltext.analyzer`: 'whitespace',
                       `fulltext.eventually_consistent`: false}}
