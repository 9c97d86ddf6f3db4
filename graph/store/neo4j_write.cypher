// What the store writes, and the checks that a batch has to pass before it is kept.
// An edge is a relationship whose type is its word. Beside it lie, without a word of their
// own, relationships to the record that says it and to its source, so that one pattern
// follows all three. %type% stands for a type, which cannot be a parameter of Cypher; the
// dynamic types of 5.26.0 gave every relationship of a statement the type of the first.

// name: age
MATCH (s:Schema) RETURN s.age

// name: set_age
MERGE (s:Schema) ON CREATE SET s.age = $age

// name: add_archive
MERGE (a:Archive {name: $archive})
ON CREATE SET a.seq = 0, a.seal = $seal, a.at = 0, a.turn = 0

// name: lock
MATCH (a:Archive {name: $archive}) SET a.turn = a.turn + 1 RETURN a.seq, a.seal, a.at

// name: move_head
MATCH (a:Archive {name: $archive}) SET a.seq = $seq, a.seal = $seal, a.at = $at

// name: add_entries
UNWIND $rows AS row CREATE (e:Entry) SET e = row

// name: add_records
UNWIND $keys AS key MERGE (:Record {archive: $archive, key: key})

// name: end_versions
UNWIND $rows AS row
MATCH (v:Version {archive: $archive, seq: row.seq}) SET v.ended = row.at, v.open = null

// name: end_edges
UNWIND $rows AS row
MATCH (v:Version {archive: $archive, seq: row.seq})
UNWIND range(0, size(coalesce(v.begins, [])) - 1) AS i
WITH DISTINCT row.seq AS seq, row.at AS at, v.begins[i] AS begin, v.ends[i] AS end
MATCH (a:Record {archive: $archive, key: begin})
MATCH (b:Record {archive: $archive, key: end})
MATCH (a)-[r]->(b) WHERE r.seq = seq
SET r.ended = at

// name: add_versions
UNWIND $rows AS row CREATE (v:Version) SET v = row

// name: add_edges
UNWIND $rows AS row
MATCH (a:Record {archive: $archive, key: row.src})
MATCH (b:Record {archive: $archive, key: row.dst})
CREATE (a)-[r:%type%]->(b) SET r = row.said

// name: add_numbers
UNWIND $rows AS row CREATE (n:Number) SET n = row

// name: add_batches
UNWIND $rows AS row
MERGE (b:Batch {archive: $archive, id: row.id})
ON CREATE SET b.first = row.first, b.last = row.last

// name: extend_batches
UNWIND $rows AS row MATCH (b:Batch {archive: $archive, first: row.first})
SET b.last = row.last

// name: add_tally
UNWIND $rows AS row
MERGE (t:Tally {archive: $archive, kind: row.kind})
ON CREATE SET t.standing = row.more ON MATCH SET t.standing = t.standing + row.more
WITH t WHERE t.standing = 0 DELETE t

// name: drop_nodes
MATCH (n:%type% {archive: $archive}) DETACH DELETE n

// name: standing_of
UNWIND $keys AS key
MATCH (v:Version {archive: $archive, open: key}) RETURN v.key, v.seq, v.kind

// name: pointing_nowhere
UNWIND $said AS one
OPTIONAL MATCH (v:Version {archive: $archive, open: one.key})
WITH one, v WHERE v IS NULL
RETURN one.record, one.word, one.key ORDER BY one.seq, one.place, one.turn LIMIT 1

// name: pointing_at
UNWIND $keys AS key
MATCH (n:Record {archive: $archive, key: key})
MATCH (n)-[r]-() WHERE r.ended = 9223372036854775807
WITH DISTINCT key, r.record AS record
MATCH (v:Version {archive: $archive, open: record})
RETURN key, v.key, v.label ORDER BY key, v.seq LIMIT 6

// name: number_borne_twice
UNWIND $numbers AS folded
MATCH (n:Number {archive: $archive, folded: folded}) WHERE n.place = 0
MATCH (v:Version {archive: $archive, seq: n.seq}) WHERE v.ended = 9223372036854775807
WITH folded, min(v.seq) AS first, max(v.seq) AS last WHERE first < last
RETURN folded, first, last ORDER BY folded LIMIT 1

// name: key_and_label
MATCH (v:Version {archive: $archive}) WHERE v.seq IN [$first, $last]
RETURN v.key, v.label ORDER BY v.seq

// name: kept_versions
MATCH (v:Version {archive: $archive})
RETURN properties(v) ORDER BY v.seq

// name: kept_edges
MATCH (a:Record {archive: $archive})-[r]->(b)
RETURN type(r), a.key, b.key, properties(r)

// name: kept_numbers
MATCH (n:Number {archive: $archive})
RETURN n.folded, n.seq, n.place

// name: kept_batches
MATCH (b:Batch {archive: $archive}) RETURN b.first, b.last, b.id

// name: kept_records
MATCH (r:Record {archive: $archive}) RETURN r.key
