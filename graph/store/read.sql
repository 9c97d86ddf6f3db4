-- Every question that the store answers, one statement each.
--
-- :known is the record time of the view; for now it is 9223372036854775806, one less than
-- the mark of what still stands, so that one text serves both. An entry is known when its
-- number is not above the last one recorded by then (record time never runs backwards).
-- CROSS JOIN and INDEXED BY pin the plan: it must not depend on statistics. With ANALYZE
-- the planner may build a filter over the whole edge table inside the recursive step.

-- part: last_known
(SELECT seq FROM version WHERE at <= :known ORDER BY at DESC, seq DESC LIMIT 1)

-- part: standing
v.ended > :known AND v.seq <= {last_known}

-- part: edge_standing
g.ended > :known AND g.seq <= {last_known}

-- part: stated
SELECT r.key, v.kind, v.seq, v.label, v.ended, e.at, e.role, e.batch, e.body

-- part: edge
SELECT (SELECT key FROM record WHERE id = g.src), g.word,
       (SELECT key FROM record WHERE id = g.dst), g.earliest, g.latest,
       (SELECT key FROM record WHERE id = g.source), g.strength,
       (SELECT key FROM record WHERE id = g.record), g.seq, e.at, e.role

-- name: head
SELECT seq, seal, at FROM entry ORDER BY seq DESC LIMIT 1

-- name: entries
SELECT seq, batch, at, role, act, body, seal FROM entry
WHERE seq > :after ORDER BY seq LIMIT :limit

-- name: batch
SELECT b.first, b.last, e.at, e.seal
FROM batch AS b CROSS JOIN entry AS e ON e.seq = b.last WHERE b.id = :batch

-- name: version
SELECT v.seq FROM record AS r CROSS JOIN version AS v INDEXED BY version_of_record
    ON v.record = r.id AND v.ended = 9223372036854775807
WHERE r.key = :key

-- name: get
{stated}
FROM json_each(:keys) AS asked
CROSS JOIN record AS r ON r.key = asked.value
CROSS JOIN version AS v INDEXED BY version_of_record ON v.record = r.id AND {standing}
CROSS JOIN entry AS e ON e.seq = v.seq
ORDER BY asked.key

-- name: named
{stated}
FROM (SELECT seq, min(place) > 0 AS formerly FROM number WHERE folded = :folded
      GROUP BY seq) AS bearing
CROSS JOIN version AS v ON v.seq = bearing.seq AND {standing}
CROSS JOIN record AS r ON r.id = v.record
CROSS JOIN entry AS e ON e.seq = v.seq
ORDER BY bearing.formerly, v.seq

-- name: of_kind
{stated}
FROM version AS v INDEXED BY version_of_kind
CROSS JOIN record AS r ON r.id = v.record
CROSS JOIN entry AS e ON e.seq = v.seq
WHERE v.kind = :kind AND {standing}
ORDER BY v.seq

-- name: latest
{stated}
FROM (
    SELECT v.seq FROM version AS v INDEXED BY version_of_kind
    WHERE v.kind = :kind AND {standing}
    ORDER BY v.seq DESC LIMIT :most
) AS last
CROSS JOIN version AS v ON v.seq = last.seq
CROSS JOIN record AS r ON r.id = v.record
CROSS JOIN entry AS e ON e.seq = v.seq
ORDER BY v.seq

-- name: edges_out
{edge}
FROM json_each(:keys) AS asked
CROSS JOIN record AS r ON r.key = asked.value
CROSS JOIN json_each(:words) AS said
CROSS JOIN edge AS g INDEXED BY edge_out
    ON g.src = r.id AND g.word = said.value AND {edge_standing}
CROSS JOIN entry AS e ON e.seq = g.seq
ORDER BY g.seq, g.place

-- name: edges_in
{edge}
FROM json_each(:keys) AS asked
CROSS JOIN record AS r ON r.key = asked.value
CROSS JOIN json_each(:words) AS said
CROSS JOIN edge AS g INDEXED BY edge_in
    ON g.dst = r.id AND g.word = said.value AND {edge_standing}
CROSS JOIN entry AS e ON e.seq = g.seq
ORDER BY g.seq, g.place

-- name: all_edges_out
{edge}
FROM json_each(:keys) AS asked
CROSS JOIN record AS r ON r.key = asked.value
CROSS JOIN edge AS g INDEXED BY edge_out ON g.src = r.id AND {edge_standing}
CROSS JOIN entry AS e ON e.seq = g.seq
ORDER BY g.seq, g.place

-- name: all_edges_in
{edge}
FROM json_each(:keys) AS asked
CROSS JOIN record AS r ON r.key = asked.value
CROSS JOIN edge AS g INDEXED BY edge_in ON g.dst = r.id AND {edge_standing}
CROSS JOIN entry AS e ON e.seq = g.seq
ORDER BY g.seq, g.place

-- name: walk_out
WITH RECURSIVE reached (id, depth) AS (
    SELECT r.id, 0 FROM json_each(:keys) AS asked
    CROSS JOIN record AS r ON r.key = asked.value
    UNION
    SELECT g.dst, reached.depth + 1 FROM reached
    CROSS JOIN json_each(:words) AS said
    CROSS JOIN edge AS g INDEXED BY edge_out
        ON g.src = reached.id AND g.word = said.value AND {edge_standing}
    WHERE reached.depth < :depth
), near (id) AS (SELECT DISTINCT id FROM reached WHERE depth < :depth)
{edge}
FROM near
CROSS JOIN json_each(:words) AS said
CROSS JOIN edge AS g INDEXED BY edge_out
    ON g.src = near.id AND g.word = said.value AND {edge_standing}
CROSS JOIN entry AS e ON e.seq = g.seq
ORDER BY g.seq, g.place

-- name: walk_in
WITH RECURSIVE reached (id, depth) AS (
    SELECT r.id, 0 FROM json_each(:keys) AS asked
    CROSS JOIN record AS r ON r.key = asked.value
    UNION
    SELECT g.src, reached.depth + 1 FROM reached
    CROSS JOIN json_each(:words) AS said
    CROSS JOIN edge AS g INDEXED BY edge_in
        ON g.dst = reached.id AND g.word = said.value AND {edge_standing}
    WHERE reached.depth < :depth
), near (id) AS (SELECT DISTINCT id FROM reached WHERE depth < :depth)
{edge}
FROM near
CROSS JOIN json_each(:words) AS said
CROSS JOIN edge AS g INDEXED BY edge_in
    ON g.dst = near.id AND g.word = said.value AND {edge_standing}
CROSS JOIN entry AS e ON e.seq = g.seq
ORDER BY g.seq, g.place

-- name: gather
WITH RECURSIVE belonging (id) AS (
    SELECT r.id FROM record AS r
    CROSS JOIN version AS v INDEXED BY version_of_record ON v.record = r.id AND {standing}
    WHERE r.key = :key
    UNION
    SELECT g.src FROM belonging
    CROSS JOIN json_each(:home) AS said
    CROSS JOIN edge AS g INDEXED BY edge_in
        ON g.dst = belonging.id AND g.word = said.value AND {edge_standing}
), reached (id) AS (
    SELECT id FROM belonging
    UNION
    SELECT g.dst FROM reached
    CROSS JOIN edge AS g INDEXED BY edge_out ON g.src = reached.id AND {edge_standing}
    UNION
    SELECT g.record FROM reached
    CROSS JOIN edge AS g INDEXED BY edge_out ON g.src = reached.id AND {edge_standing}
    UNION
    SELECT g.source FROM reached
    CROSS JOIN edge AS g INDEXED BY edge_out ON g.src = reached.id AND {edge_standing}
    WHERE g.source IS NOT NULL
)
{stated}
FROM reached
CROSS JOIN record AS r ON r.id = reached.id
CROSS JOIN version AS v INDEXED BY version_of_record ON v.record = r.id AND {standing}
CROSS JOIN entry AS e ON e.seq = v.seq
ORDER BY v.seq

-- name: history
{stated}
FROM record AS r
CROSS JOIN version AS v INDEXED BY version_of_record ON v.record = r.id
CROSS JOIN entry AS e ON e.seq = v.seq
WHERE r.key = :key
ORDER BY v.seq

-- name: since
{stated}
FROM (SELECT seq FROM version INDEXED BY version_at WHERE at > :at
      UNION
      SELECT seq FROM version INDEXED BY version_ended
      WHERE ended > :at AND ended < 9223372036854775807) AS moved
CROSS JOIN version AS v ON v.seq = moved.seq
CROSS JOIN record AS r ON r.id = v.record
CROSS JOIN entry AS e ON e.seq = v.seq
ORDER BY v.seq

-- name: search
{stated}
FROM words
CROSS JOIN version AS v ON v.seq = words.rowid AND {standing}
CROSS JOIN record AS r ON r.id = v.record
CROSS JOIN entry AS e ON e.seq = v.seq
WHERE words MATCH :match AND (:kind IS NULL OR v.kind = :kind)
ORDER BY words.rowid DESC LIMIT :limit

-- name: tally
SELECT kind, standing FROM tally ORDER BY kind

-- name: tally_known
SELECT v.kind, count(*) FROM version AS v INDEXED BY version_of_kind
WHERE {standing} GROUP BY v.kind ORDER BY v.kind
