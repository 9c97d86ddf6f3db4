-- What the store writes, and the checks that a batch has to pass before it is kept.
-- :first is the number of the batch's first entry; the batch is in place when it is asked.

-- name: add_entry
INSERT INTO entry (seq, batch, at, role, act, body, seal) VALUES (?, ?, ?, ?, ?, ?, ?)

-- name: standing_of
SELECT r.key, v.seq, v.kind FROM json_each(:keys) AS asked
CROSS JOIN record AS r ON r.key = asked.value
CROSS JOIN version AS v INDEXED BY version_of_record
    ON v.record = r.id AND v.ended = 9223372036854775807

-- name: add_records
INSERT OR IGNORE INTO record (key) SELECT value FROM json_each(:keys) ORDER BY key

-- name: ids_of
SELECT r.key, r.id FROM json_each(:keys) AS asked
CROSS JOIN record AS r ON r.key = asked.value

-- name: end_version
UPDATE version SET ended = ? WHERE seq = ? AND ended = 9223372036854775807

-- name: end_edges
UPDATE edge SET ended = ? WHERE seq = ?

-- name: add_version
INSERT INTO version (seq, record, kind, label, at, ended) VALUES (?, ?, ?, ?, ?, ?)

-- name: add_edge
INSERT INTO edge (seq, place, record, src, word, dst, earliest, latest, source, strength,
                  ended)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)

-- name: add_number
INSERT INTO number (folded, seq, place) VALUES (?, ?, ?)

-- name: add_words
INSERT INTO words (rowid, label, numbers, text) VALUES (?, ?, ?, ?)

-- name: add_batch
INSERT INTO batch (first, last, id) VALUES (?, ?, ?) ON CONFLICT (id) DO NOTHING

-- name: extend_batch
UPDATE batch SET last = ? WHERE first = ?

-- name: add_tally
INSERT INTO tally (kind, standing) VALUES (?, ?)
ON CONFLICT (kind) DO UPDATE SET standing = standing + excluded.standing

-- name: drop_empty_tally
DELETE FROM tally WHERE standing = 0

-- name: pointing_nowhere
SELECT (SELECT key FROM record WHERE id = g.record), g.word, r.key
FROM edge AS g
CROSS JOIN json_each(json_array(g.src, g.dst, g.source)) AS n
CROSS JOIN record AS r ON r.id = n.value
WHERE g.seq >= :first AND g.ended = 9223372036854775807
    AND NOT EXISTS (SELECT 1 FROM version AS v INDEXED BY version_of_record
                    WHERE v.record = r.id AND v.ended = 9223372036854775807)
ORDER BY g.seq, g.place, n.key LIMIT 1

-- name: pointing_at
WITH gone (id, key) AS (
    SELECT r.id, r.key FROM json_each(:keys) AS asked
    CROSS JOIN record AS r ON r.key = asked.value
), pointing (key, record) AS (
    SELECT gone.key, g.record FROM gone
    CROSS JOIN edge AS g INDEXED BY edge_in
        ON g.dst = gone.id AND g.ended = 9223372036854775807
    UNION
    SELECT gone.key, g.record FROM gone
    CROSS JOIN edge AS g INDEXED BY edge_out
        ON g.src = gone.id AND g.ended = 9223372036854775807
    UNION
    SELECT gone.key, g.record FROM gone
    CROSS JOIN edge AS g INDEXED BY edge_source
        ON g.source = gone.id AND g.ended = 9223372036854775807
)
SELECT p.key, r.key, v.label FROM pointing AS p
CROSS JOIN record AS r ON r.id = p.record
CROSS JOIN version AS v INDEXED BY version_of_record
    ON v.record = r.id AND v.ended = 9223372036854775807
ORDER BY p.key, v.seq LIMIT 6

-- name: number_borne_twice
SELECT n.folded, min(v.seq), max(v.seq)
FROM json_each(:numbers) AS asked
CROSS JOIN number AS n ON n.folded = asked.value
CROSS JOIN version AS v ON v.seq = n.seq AND v.ended = 9223372036854775807
WHERE n.place = 0
GROUP BY n.folded HAVING min(v.seq) < max(v.seq)
ORDER BY n.folded LIMIT 1

-- name: key_and_label
SELECT r.key, v.label FROM version AS v CROSS JOIN record AS r ON r.id = v.record
WHERE v.seq IN (:first, :last) ORDER BY v.seq
