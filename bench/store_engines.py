"""Two engines that read the tables of a filled store, to be asked the same questions.

DuckDB is a table engine, ladybug a graph engine; both run in the process, as the embedded
store does. Each question is one statement or few, as each engine is asked best; for
ladybug every word has a table of relationships of its own.
"""

import importlib
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

Ask = Callable[[int], object]
STANDS = 9223372036854775807
EDGES = (
    "SELECT e.seq, a.key AS src, e.word, b.key AS dst, e.earliest, c.key AS record,"
    " e.ended, v.at FROM edge e JOIN record a ON a.id = e.src JOIN record b ON"
    " b.id = e.dst JOIN record c ON c.id = e.record JOIN version v ON v.seq = e.seq"
)
VERSIONS = (
    "SELECT v.seq, r.key, v.kind, v.ended, coalesce(json_extract(e.body,"
    " '$.body.text'), '') AS text FROM version v JOIN record r ON r.id = v.record JOIN"
    " entry e ON e.seq = v.seq"
)
WORDS = ("part of", "decides on", "touches", "taken from", "inside", "about", "uses",
         "bonds")  # fmt: skip
_LOT = 500_000


def _frames(source: Path, asked: str) -> Iterator[Any]:
    """Rows of the embedded store, as frames of at most half a million."""
    pandas = importlib.import_module("pandas")
    db = sqlite3.connect(source)
    yield from pandas.read_sql_query(asked, db, chunksize=_LOT)
    db.close()


class Tables:
    """The derived tables in DuckDB, every question as one or few statements of SQL."""

    def __init__(self, file: Path, source: Path, half: int) -> None:
        is_new = not file.exists()
        self.db, self.half = importlib.import_module("duckdb").connect(str(file)), half
        if is_new:
            self._fill(source)

    def _fill(self, source: Path) -> None:
        for name, asked in (("edge", EDGES), ("version", VERSIONS)):
            made = False
            for frame in _frames(source, asked):
                self.db.register("frame", frame)
                how = "INSERT INTO {} SELECT" if made else "CREATE TABLE {} AS SELECT"
                self.db.execute(f"{how.format(name)} * FROM frame")
                made = True
        for column in ("src", "dst"):
            self.db.execute(f"CREATE INDEX edge_{column} ON edge ({column})")
        self.db.execute("CHECKPOINT")

    def questions(self) -> dict[str, Ask]:
        """The seven questions."""
        return {
            "1 elements and verdicts": lambda i: self._elements(i, STANDS - 1),
            "2 where its parts are": self._where,
            "3 what a batch touched": self._touched,
            "4 as known earlier": lambda i: self._elements(i, self.half),
            "5 where a part was": lambda i: self._rows(
                "SELECT earliest, dst FROM edge WHERE src = ? AND word = 'inside'"
                f" AND ended = {STANDS}", f"P{i}-0"),
            "6 words": lambda i: [key for (key,) in self._rows(
                "SELECT key FROM version WHERE kind = 'observation' AND ended ="
                f" {STANDS} AND contains(' ' || text || ' ', ' varnish ') AND"
                " contains(' ' || text || ' ', ?) LIMIT 50", f" {i} ")],
            "7 how many of each kind": lambda i: self._rows(
                f"SELECT kind, count(*) FROM version WHERE ended = {STANDS} GROUP BY kind"),
        }  # fmt: skip

    def _rows(self, asked: str, *values: object) -> list[Any]:
        return sorted(self.db.execute(asked, list(values)).fetchall())

    def _elements(self, i: int, known: int) -> list[Any]:
        stands = f"e.at <= {known} AND e.ended > {known}"
        return self._rows(
            "WITH RECURSIVE t (k) AS (SELECT ? UNION SELECT e.src FROM t JOIN edge e ON"
            f" e.dst = t.k AND e.word IN ('part of', 'decides on') AND {stands})"
            " SELECT e.src, e.word, e.dst FROM t JOIN edge e ON e.dst = t.k AND"
            f" e.word IN ('part of', 'decides on') AND {stands}", f"O{i}")  # fmt: skip

    def _where(self, i: int) -> list[Any]:
        return self._rows(
            "WITH RECURSIVE t (k) AS (SELECT ? UNION SELECT e.src FROM t JOIN edge e ON"
            " e.dst = t.k AND e.word IN ('part of', 'taken from') AND"
            f" e.ended = {STANDS}) SELECT e.src, e.dst, e.record FROM t JOIN edge e ON"
            f" e.src = t.k AND e.word = 'inside' AND e.ended = {STANDS}",
            f"O{i}",
        )

    def _touched(self, i: int) -> list[Any]:
        stands = f"e.ended = {STANDS}"
        found = self._rows(
            "WITH RECURSIVE a AS (SELECT DISTINCT b.dst AS k FROM edge e JOIN edge b ON"
            f" b.src = e.src AND b.word = 'bonds' WHERE e.dst = ? AND e.word = 'uses' AND"
            f" {stands}), n AS (SELECT k FROM a UNION SELECT e.dst FROM a JOIN edge e ON"
            f" e.src = a.k AND e.word = 'touches' AND {stands} UNION SELECT e.src FROM a"
            f" JOIN edge e ON e.dst = a.k AND e.word = 'touches' AND {stands}),"
            " t AS (SELECT k FROM n UNION SELECT e.dst FROM t JOIN edge e ON e.src = t.k"
            f" AND e.word = 'part of' AND {stands}) SELECT k FROM t",
            f"M{i // 20}",
        )
        return [key for (key,) in found]


class Graph:
    """The same in ladybug, every question as one or few statements of its Cypher."""

    def __init__(self, file: Path, source: Path, half: int) -> None:
        ladybug = importlib.import_module("ladybug")
        is_new, self.half = not file.exists(), half
        self.base = ladybug.Database(str(file), buffer_pool_size=2 << 30)
        self.db = ladybug.Connection(self.base, num_threads=2)
        if is_new:
            self._fill(source)

    def _fill(self, source: Path) -> None:
        run = self.db.execute
        run("CREATE NODE TABLE Rec (key STRING, PRIMARY KEY (key))")
        run(
            "CREATE NODE TABLE Version (seq INT64, key STRING, kind STRING, ended INT64,"
            " text STRING, PRIMARY KEY (seq))"
        )
        for word in WORDS:
            run(
                f"CREATE REL TABLE {_table(word)} (FROM Rec TO Rec, word STRING,"
                " earliest INT64, record STRING, at INT64, ended INT64)"
            )
        for frame in _frames(source, "SELECT key FROM record"):
            run("COPY Rec FROM $frame", {"frame": frame})
        for word in WORDS:
            asked = f"SELECT src, dst, word, earliest, record, at, ended FROM ({EDGES}"
            for frame in _frames(source, f"{asked} WHERE e.word = '{word}')"):
                days = frame["earliest"].astype("float64").fillna(0)
                frame["earliest"] = days.astype("int64")
                run(f"COPY {_table(word)} FROM $frame", {"frame": frame})
        for frame in _frames(source, VERSIONS):
            run("COPY Version FROM $frame", {"frame": frame})
        run("CHECKPOINT")

    def questions(self) -> dict[str, Ask]:
        """The seven questions."""
        return {
            "1 elements and verdicts": lambda i: self._elements(i, STANDS - 1),
            "2 where its parts are": self._where,
            "3 what a batch touched": self._touched,
            "4 as known earlier": lambda i: self._elements(i, self.half),
            "5 where a part was": lambda i: self._rows(
                "MATCH (a:Rec {key: $k})-[e:inside]->(b:Rec) WHERE e.ended = $s"
                " RETURN e.earliest, b.key", k=f"P{i}-0", s=STANDS),
            "6 words": lambda i: [key for (key,) in self._rows(
                "MATCH (v:Version) WHERE v.kind = 'observation' AND v.ended = $s AND"
                " contains(' ' + v.text + ' ', ' varnish ') AND"
                " contains(' ' + v.text + ' ', $w) RETURN v.key LIMIT 50",
                w=f" {i} ", s=STANDS)],
            "7 how many of each kind": lambda i: self._rows(
                "MATCH (v:Version) WHERE v.ended = $s RETURN v.kind, count(*)", s=STANDS),
        }  # fmt: skip

    def _rows(self, asked: str, **values: object) -> list[Any]:
        return sorted(tuple(row) for row in self.db.execute(asked, values).get_all())

    def _elements(self, i: int, known: int) -> list[Any]:
        return self._rows(
            "MATCH (a:Rec {key: $k})<-[:part_of|decides_on* 0..8 (x, _ | WHERE"
            " x.at <= $t AND x.ended > $t)]-(n:Rec)<-[e:part_of|decides_on]-(m:Rec)"
            " WHERE e.at <= $t AND e.ended > $t RETURN m.key, e.word, n.key",
            k=f"O{i}", t=known)  # fmt: skip

    def _where(self, i: int) -> list[Any]:
        return self._rows(
            "MATCH (a:Rec {key: $k})<-[:part_of|taken_from* 0..8 (x, _ | WHERE"
            " x.ended = $s)]-(n:Rec)-[e:inside]->(m:Rec) WHERE e.ended = $s"
            " RETURN n.key, m.key, e.record", k=f"O{i}", s=STANDS)  # fmt: skip

    def _touched(self, i: int) -> list[Any]:
        elements = [key for (key,) in self._rows(
            "MATCH (m:Rec {key: $k})<-[u:uses]-(t:Rec)-[b:bonds]->(n:Rec) WHERE"
            " u.ended = $s AND b.ended = $s RETURN DISTINCT n.key",
            k=f"M{i // 20}", s=STANDS)]  # fmt: skip
        near = [key for (key,) in self._rows(
            "UNWIND $k AS k MATCH (a:Rec {key: k})-[e:touches]-(b:Rec) WHERE e.ended = $s"
            " RETURN DISTINCT b.key", k=elements, s=STANDS)]  # fmt: skip
        found = self._rows(
            "UNWIND $k AS k MATCH (a:Rec {key: k})-[:part_of* 0..8 (x, _ | WHERE"
            " x.ended = $s)]->(b:Rec) RETURN DISTINCT b.key",
            k=sorted({*elements, *near}), s=STANDS)  # fmt: skip
        return [key for (key,) in found]


def _table(word: str) -> str:
    return word.replace(" ", "_")
