"""Questions in SPARQL: read-only, over what the reader may see, within bounds.

The archive is written out as the reader may see it and asked in a process of its own,
which is ended when its time is over; on systems that can, its memory is bounded too. The
process sees no archive and no network is asked: a query that names a service is refused.
"""

import json
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

from vestige.graph.errors import BadValue, NotRecorded, Refused

from .mapping import prefixes
from .rdf_file import library, ntriples
from .record_writer import Written

MOST_SECONDS: Final = 30.0
MOST_ROWS: Final = 10_000
MARGIN: Final = 60.0
"""Seconds beside those of the question: for starting, and for loading a large archive."""
MOST_MEMORY: Final = 2_000_000_000
LONGEST_QUERY: Final = 100_000
DEEPEST_QUERY: Final = 100

_ESCAPE: Final = re.compile(r"\\u([0-9A-Fa-f]{4})|\\U([0-9A-Fa-f]{8})")
_QUIET: Final = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*"""|' r"'''(?:[^'\\]|\\.|'(?!''))*'''|"
    r'"(?:[^"\\\n]|\\.)*"|' r"'(?:[^'\\\n]|\\.)*'|<[^<>\"{}|^`\\\s]*>|#[^\n]*",
    re.S,
)  # fmt: skip
_FORBIDDEN: Final = re.compile(
    r"(?<![\w?$:-])(SERVICE|LOAD|INSERT|DELETE|DROP|CLEAR|CREATE|COPY|MOVE|ADD)(?![\w:-])",
    re.I,
)


@dataclass(frozen=True, slots=True)
class NamedQuestion:
    """A question that comes with Vestige.

    Attributes:
        user: who asks it: conservator, registrar or researcher.
        asks: the question in words.
        sparql: the question for the engine, without prefixes.
    """

    name: str
    user: str
    asks: str
    sparql: str


@dataclass(frozen=True, slots=True)
class Rows:
    """What came of a question.

    Attributes:
        heads: names of the columns.
        rows: cells as texts; None where a row has nothing there.
        cut: whether there were more rows than are given.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[str | None, ...], ...]
    cut: bool = False


@cache
def questions() -> dict[str, NamedQuestion]:
    """The questions that come with Vestige, by name."""
    text = files(__package__).joinpath("questions.toml").read_text(encoding="utf-8")
    return {row["name"]: NamedQuestion(**row) for row in tomllib.loads(text)["question"]}


def named_question(name: str) -> NamedQuestion:
    """The question of a name.

    Raises:
        NotRecorded: there is none.
    """
    try:
        return questions()[name]
    except KeyError:
        every = ", ".join(questions())
        raise NotRecorded(f"there is no question '{name}'; there are {every}") from None


def with_prefixes(sparql: str) -> str:
    """A query with the prefixes of the table, which it need not declare."""
    return "".join(f"PREFIX {p}: <{iri}>\n" for p, iri in prefixes().items()) + sparql


def refuse_harm(sparql: str) -> None:
    """Refuse what would write, reach for the network, or is without measure.

    Raises:
        Refused: with the reason.
    """
    if len(sparql) > LONGEST_QUERY:
        raise Refused(f"the query has {len(sparql):,} signs; {LONGEST_QUERY:,} is the most")
    plain = _QUIET.sub(" ", _ESCAPE.sub(_unescaped, sparql))
    found = _FORBIDDEN.search(plain)
    if found:
        word = found[1].upper()
        why = "asks another machine" if word in ("SERVICE", "LOAD") else "would write"
        raise Refused(f"{word} {why}; questions here only read what is in the archive")
    depth = deepest = 0
    for sign in plain:
        depth += (sign in "{([") - (sign in "})]")
        deepest = max(deepest, depth)
    if deepest > DEEPEST_QUERY:
        raise Refused(f"the query is nested {deepest} deep; {DEEPEST_QUERY} is the most")


def _unescaped(found: re.Match[str]) -> str:
    code = int(found[1] or found[2], 16)
    return chr(code) if code <= sys.maxunicode else " "


def ask(
    written: Iterable[Written],
    sparql: str,
    seconds: float = MOST_SECONDS,
    rows: int = MOST_ROWS,
) -> Rows:
    """Ask a question of what was written.

    Args:
        written: the records, as the reader may see them.
        sparql: SELECT, ASK, CONSTRUCT or DESCRIBE; the table's prefixes are known.
        seconds: after so long it is ended.
        rows: as many are given, at the most.

    Raises:
        BadValue: the query cannot be read.
        Refused: it would write or reach out, or it took too long or too much memory.
    """
    library()
    refuse_harm(sparql)
    task = {"query": sparql, "prefixes": prefixes(), "rows": rows, "memory": MOST_MEMORY,
            "seconds": seconds}  # fmt: skip
    return _answered(_run(f"{json.dumps(task)}\n{ntriples(written)}", seconds))


def _run(told: str, seconds: float) -> bytes:
    """What the process answers; all it knows comes over its input, nothing over a file."""
    command = [sys.executable, "-m", "vestige.ontology.query_process"]
    try:
        done = subprocess.run(
            command, input=told.encode(), capture_output=True, timeout=seconds + MARGIN,
            check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise Refused(
            f"the question was not answered in {seconds:g} seconds and was ended; ask for "
            "less, or give it longer with --seconds"
        ) from None
    return done.stdout


def _answered(said: bytes) -> Rows:
    try:
        found = json.loads(said)
    except ValueError:
        raise Refused(
            "the question ended without an answer: it took more memory or time than it "
            f"may ({MOST_MEMORY // 1_000_000_000} GB)"
        ) from None
    if "wrong" in found:
        raise BadValue(f"the query cannot be answered: {_where(found['wrong'])}")
    if "ended" in found:
        raise Refused(found["ended"])
    return Rows(tuple(found["heads"]), tuple(map(tuple, found["rows"])), found["cut"])


def _where(wrong: str) -> str:
    """The engine's message as a sentence: where it stopped, without all it would take."""
    found = re.match(r"error at (\d+):(\d+): (.*)", wrong, re.S)
    if not found:
        return wrong
    expected = found[3].split("[", 1)[0].strip(" ,\n")
    return f"it cannot be read from line {found[1]}, sign {found[2]} on ({expected})"
