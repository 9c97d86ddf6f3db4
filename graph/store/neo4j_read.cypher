// Every question that the store answers, one statement each.
//
// $known is the record time of the view; for now it is 9223372036854775806, one less than
// the mark of what still stands. Record time never runs backwards, so "recorded by then" is
// told by the time alone. %types% stands for the words asked about, %home% for those of
// belonging, %depth% for a bound: none of these can be a parameter of Cypher.
// A walk has no use for the way, only for the ends (WITH DISTINCT): the planner then
// searches breadth first and meets each record once. A quantified path would list every
// way, and over shared parts there may be more of them than can be listed.

// part: standing
v.ended > $known AND v.at <= $known

// part: edge_standing
r.ended > $known AND r.at <= $known

// part: said
MATCH (e:Entry {archive: $archive, seq: v.seq})

// part: stated
RETURN v.key, v.kind, v.seq, v.label, v.ended, e.at, e.role, e.batch, e.body

// part: edge
RETURN startNode(r).key, r.word, endNode(r).key, r.earliest, r.latest, r.source,
       r.strength, r.record, r.seq, r.at, r.role

// name: head
MATCH (a:Archive {name: $archive}) WHERE a.seq > 0 RETURN a.seq, a.seal, a.at

// name: entries
MATCH (e:Entry {archive: $archive}) WHERE e.seq > $after
RETURN e.seq, e.batch, e.at, e.role, e.act, e.body, e.seal ORDER BY e.seq LIMIT $limit

// name: batch
MATCH (b:Batch {archive: $archive, id: $batch})
MATCH (e:Entry {archive: $archive, seq: b.last})
RETURN b.first, b.last, e.at, e.seal

// name: version
MATCH (v:Version {archive: $archive, open: $key}) RETURN v.seq

// name: get
UNWIND range(0, size($keys) - 1) AS place
MATCH (v:Version {archive: $archive, key: $keys[place]}) WHERE {standing}
{said}
{stated} ORDER BY place

// name: named
MATCH (n:Number {archive: $archive, folded: $folded})
WITH n.seq AS seq, min(n.place) > 0 AS formerly
MATCH (v:Version {archive: $archive, seq: seq}) WHERE {standing}
{said}
{stated} ORDER BY formerly, v.seq

// name: of_kind
MATCH (v:Version {archive: $archive, kind: $kind}) WHERE {standing}
{said}
{stated} ORDER BY v.seq

// name: latest
MATCH (v:Version {archive: $archive, kind: $kind}) WHERE {standing}
WITH v ORDER BY v.seq DESC LIMIT $most
{said}
{stated} ORDER BY v.seq

// name: edges_out
UNWIND $keys AS key
MATCH (a:Record {archive: $archive, key: key})
MATCH (a)-[r:%types%]->() WHERE {edge_standing}
{edge} ORDER BY r.seq, r.place

// name: edges_in
UNWIND $keys AS key
MATCH (a:Record {archive: $archive, key: key})
MATCH (a)<-[r:%types%]-() WHERE {edge_standing}
{edge} ORDER BY r.seq, r.place

// name: all_edges_out
UNWIND $keys AS key
MATCH (a:Record {archive: $archive, key: key})
MATCH (a)-[r]->() WHERE r.word IS NOT NULL AND {edge_standing}
{edge} ORDER BY r.seq, r.place

// name: all_edges_in
UNWIND $keys AS key
MATCH (a:Record {archive: $archive, key: key})
MATCH (a)<-[r]-() WHERE r.word IS NOT NULL AND {edge_standing}
{edge} ORDER BY r.seq, r.place

// name: walk_out
UNWIND $keys AS key
MATCH (a:Record {archive: $archive, key: key})
MATCH (a)-[rs:%types%*0..%depth%]->(n) WHERE all(r IN rs WHERE {edge_standing})
WITH DISTINCT n
MATCH (n)-[r:%types%]->() WHERE {edge_standing}
{edge} ORDER BY r.seq, r.place

// name: walk_in
UNWIND $keys AS key
MATCH (a:Record {archive: $archive, key: key})
MATCH (a)<-[rs:%types%*0..%depth%]-(n) WHERE all(r IN rs WHERE {edge_standing})
WITH DISTINCT n
MATCH (n)<-[r:%types%]-() WHERE {edge_standing}
{edge} ORDER BY r.seq, r.place

// name: gather
MATCH (v:Version {archive: $archive, key: $key}) WHERE {standing}
MATCH (a:Record {archive: $archive, key: v.key})
MATCH (a)<-[rs:%home%*0..]-(m) WHERE all(r IN rs WHERE {edge_standing})
WITH DISTINCT m
MATCH (m)-[rs*0..]->(n) WHERE all(r IN rs WHERE {edge_standing})
WITH DISTINCT n
MATCH (v:Version {archive: $archive, key: n.key}) WHERE {standing}
{said}
{stated} ORDER BY v.seq

// name: history
MATCH (v:Version {archive: $archive, key: $key})
{said}
{stated} ORDER BY v.seq

// name: since
CALL {
    MATCH (v:Version {archive: $archive}) WHERE v.at > $at RETURN v
    UNION
    MATCH (v:Version {archive: $archive})
    WHERE v.ended > $at AND v.ended < 9223372036854775807 RETURN v
}
{said}
{stated} ORDER BY v.seq

// name: search
CALL db.index.fulltext.queryNodes('words', $query) YIELD node AS v
WHERE v.archive = $archive AND {standing} AND ($kind IS NULL OR v.kind = $kind)
    AND all(phrase IN $phrases WHERE v.label_words CONTAINS phrase
            OR v.number_words CONTAINS phrase OR v.text_words CONTAINS phrase)
WITH v ORDER BY v.seq DESC LIMIT $limit
{said}
{stated} ORDER BY v.seq DESC

// name: tally
MATCH (t:Tally {archive: $archive}) WHERE t.kind >= ''
RETURN t.kind, t.standing ORDER BY t.kind

// name: tally_known
MATCH (v:Version {archive: $archive}) WHERE {standing}
RETURN v.kind, count(*) ORDER BY v.kind

// name: is_there
MATCH (a:Archive {name: $archive}) RETURN a.name
