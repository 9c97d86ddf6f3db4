"""How the SQLite store asks: every question is one statement."""

import json
import sqlite3
import threading
from collections.abc import Mapping, Sequence
from typing import Any

from .archive_file import plain_errors
from .derive import Reading
from .questions import Questions
from .statement import statements

_SQL = statements("read")


class SqliteReader(Questions):
    """Answers from an open connection; the store adds the writing side.

    One connection serves all threads of a process, by turns.
    """

    def __init__(self, db: sqlite3.Connection, path: str, reading: Reading) -> None:
        super().__init__(reading)
        self._db, self._path = db, path
        self._turn = threading.RLock()

    def _rows(self, name: str, asked: Mapping[str, object]) -> Sequence[Any]:
        with self._turn, plain_errors(self._path):
            return self._db.execute(_SQL[name], with_arrays(asked)).fetchall()

    def _match(self, words: Sequence[str]) -> Mapping[str, object] | None:
        """The words as a question to the index: all of them, in any order."""
        asked = []
        for word in words:
            begin = "*" if word.endswith("*") else ""
            asked.append('"' + word.replace('"', " ").replace("\x00", " ") + f'"{begin}')
        return {"match": " AND ".join(asked)} if asked else None


def with_arrays(asked: Mapping[str, object]) -> dict[str, object]:
    """Parameters as SQLite takes them: a list is a JSON array."""
    return {
        name: json.dumps(value) if isinstance(value, list) else value
        for name, value in asked.items()
    }
