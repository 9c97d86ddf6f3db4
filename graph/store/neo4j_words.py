"""Words as the index of the embedded store divides them, for an index that does not.

Every full-text engine has its own rules of where a word ends and which letters are one.
A store that answered by its own would find other records than the next. Here SQLite
divides the text, in memory, and what it gives is kept beside the version, words between
spaces; the server's index only has to tell spaces.
"""

import sqlite3
import threading
from collections.abc import Mapping, Sequence
from typing import Final

_LUCENE_WORD: Final = 250
"""Letters of a beginning that are asked of the index; it cuts words off at 255."""

Columns = tuple[str, str, str]


class Divider:
    """Divides texts into words; threads may share it."""

    def __init__(self) -> None:
        self._turn = threading.Lock()
        self._db = sqlite3.connect(":memory:", check_same_thread=False)
        self._db.execute(
            "CREATE VIRTUAL TABLE held USING fts5 (label, numbers, text, content = '',"
            " tokenize = 'unicode61 remove_diacritics 2')"
        )
        self._db.execute("CREATE VIRTUAL TABLE word USING fts5vocab (held, instance)")

    def divide(self, texts: Sequence[Columns]) -> list[Columns]:
        """Label, numbers and text of each version as words between spaces."""
        with self._turn:
            self._db.execute("INSERT INTO held (held) VALUES ('delete-all')")
            self._db.executemany(
                "INSERT INTO held (rowid, label, numbers, text) VALUES (?, ?, ?, ?)",
                [(i, *one) for i, one in enumerate(texts)],
            )
            rows = self._db.execute(
                "SELECT doc, col, term FROM word ORDER BY doc, col, offset"
            ).fetchall()
        found = [{"label": [" "], "numbers": [" "], "text": [" "]} for _ in texts]
        for doc, column, term in rows:
            found[doc][column] += [term, " "]
        return [("".join(d["label"]), "".join(d["numbers"]), "".join(d["text"]))
                for d in found]  # fmt: skip

    def question(self, words: Sequence[str]) -> Mapping[str, object] | None:
        """What the index is asked, and the phrases that a version must hold to the letter.

        A word such as ``X.12.b`` is three words that follow each other.
        """
        divided = self.divide([("", "", word.replace("\x00", " ")) for word in words])
        phrases: list[str] = []
        terms: list[str] = []
        for word, (_, _, held) in zip(words, divided, strict=True):
            parts = held.split()
            if not parts:
                return None
            begins = word.endswith("*")
            phrases.append(held.rstrip(" ") if begins else held)
            last = parts.pop() if begins else None
            terms += parts
            terms += [f"{last[:_LUCENE_WORD]}*"] if last is not None else []
        if not terms:
            return None
        return {"query": " AND ".join(dict.fromkeys(terms)), "phrases": phrases}

    def close(self) -> None:
        """Let go of the memory."""
        with self._turn:
            self._db.close()
