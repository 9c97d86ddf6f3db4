"""How the Neo4j store asks: every question is one statement, pushed down to the server."""

from collections.abc import Mapping, Sequence
from typing import Any

from .derive import Reading
from .neo4j_draft import quoted
from .neo4j_server import Server
from .neo4j_words import Divider
from .questions import Questions
from .statement import statements

QUESTIONS = statements("neo4j_read", "cypher")
"""Every question by name."""


class Neo4jReader(Questions):
    """Answers from a server; the store adds the writing side."""

    def __init__(self, server: Server, archive: str, reading: Reading) -> None:
        super().__init__(reading)
        self._server, self._archive = server, archive
        self._divider = Divider()

    def _rows(self, name: str, asked: Mapping[str, object]) -> Sequence[Any]:
        text = filled(name, asked)
        if text is None:
            return []
        return self._server.ask(text, {"archive": self._archive, **asked})

    def _match(self, words: Sequence[str]) -> Mapping[str, object] | None:
        return self._divider.question(words) if words else None


def filled(name: str, asked: Mapping[str, Any]) -> str | None:
    """The statement with the words and the depth in it; None where nothing can be met."""
    text = QUESTIONS[name]
    if "words" in asked:
        if not asked["words"]:
            return None
        text = text.replace("%types%", quoted(tuple(asked["words"])))
    if "home" in asked:
        if not asked["home"]:
            return text.replace("%home%*0..", "*0..0")
        text = text.replace("%home%", quoted(tuple(asked["home"])))
    if "depth" in asked:
        if asked["depth"] < 1:
            return None
        text = text.replace("%depth%", str(min(int(asked["depth"]) - 1, 2**31 - 1)))
    return text
