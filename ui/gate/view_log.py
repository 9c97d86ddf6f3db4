"""The view log: who was shown restricted content, when, and which record.

A file in the archive's folder with one line of JSON for each person, record and day; lines
are added and never changed. What cannot be noted is not shown.
"""

import datetime
import json
import os
import threading
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from vestige.graph.answer.change_walk import closed_now
from vestige.graph.collection import Collection
from vestige.graph.errors import ArchiveUnusable, Refused
from vestige.graph.state import PUBLIC, Reader

from . import words

VIEWS_FILE = "views.jsonl"
NO_ACCOUNT = "this machine, no account"
"""Who the log names where nobody needs to say who they are."""
LATELY = 262_144
"""Bytes at the end of the log that are read for what was noted today."""
_TURN = threading.Lock()
_NOTED: dict[str, set[tuple[str, str, str]]] = {}
"""By file: what this process knows to be noted (day, who, key)."""


@dataclass(frozen=True, slots=True)
class View:
    """One line of the log.

    Attributes:
        at: when it was first shown on that day, UTC (RFC 3339).
        who: name of the account, or how this machine was used without one.
        role: in which role or for which authority it was opened.
        record: key of the record; `number` is what people called it then.
        through: by what it was shown, "pages" or a command.
    """

    at: str
    who: str
    role: str
    record: str
    number: str
    through: str


class ViewLog:
    """The view log of one archive.

    Args:
        folder: folder of the archive.
        clock: the time now, with its zone.
    """

    def __init__(
        self,
        folder: Path,
        clock: Callable[[], datetime.datetime] = lambda: datetime.datetime.now(
            datetime.UTC
        ),
    ) -> None:
        self.file = folder / VIEWS_FILE
        self._clock = clock

    def note(
        self, who: str, role: str, records: Iterable[tuple[str, str]], through: str
    ) -> None:
        """Note that records (key, number) are about to be shown.

        Raises:
            Refused: where it cannot be noted.
        """
        now = self._clock().astimezone(datetime.UTC)
        day = now.date().isoformat()
        with _TURN:
            noted = _NOTED.setdefault(str(self.file), set())
            if not any(mark[0] == day for mark in noted):
                noted.clear()
                noted.update(self._lately())
            fresh = [
                (key, number)
                for key, number in dict(records).items()
                if (day, who, key) not in noted
            ]
            if not fresh:
                return
            lines = "".join(
                json.dumps(
                    {
                        "at": now.isoformat(timespec="seconds"),
                        "who": who,
                        "role": role,
                        "record": key,
                        "number": number,
                        "through": through,
                    },
                    ensure_ascii=False,
                )
                + "\n"
                for key, number in fresh
            )
            self._append(lines)
            noted |= {(day, who, key) for key, _ in fresh}

    def _lately(self) -> set[tuple[str, str, str]]:
        """What the end of the file says was noted: a second look that day adds none."""
        try:
            with self.file.open("rb") as file:
                size = file.seek(0, os.SEEK_END)
                file.seek(max(0, size - LATELY))
                lines = file.read().decode("utf-8", "replace").split("\n")
        except OSError:
            return set()
        found = set()
        for line in lines:
            try:
                one = json.loads(line)
                found.add((str(one["at"])[:10], str(one["who"]), str(one["record"])))
            except (ValueError, KeyError, TypeError):
                continue  # cut at its beginning, or no line of ours: noted once more then
        return found

    def _append(self, lines: str) -> None:
        """Add whole lines in one write, so that two processes do not mix theirs."""
        try:
            flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND
            handle = os.open(self.file, flags, 0o600)
            try:
                os.write(handle, lines.encode("utf-8"))
                os.fsync(handle)
            finally:
                os.close(handle)
        except OSError as why:
            raise Refused(
                words.NO_LOG.format(file=self.file.name, why=why.strerror)
            ) from None

    def _lines(self) -> list[str]:
        """Lines as they were written: a name may hold other signs that end a line."""
        return self.file.read_bytes().decode("utf-8").removesuffix("\n").split("\n")

    def views(self, record: str | None = None, who: str | None = None) -> list[View]:
        """Lines in the order in which they were written, of one record or person or all.

        Raises:
            ArchiveUnusable: naming a line that cannot be read.
        """
        if not self.file.exists():
            return []
        found = []
        for count, line in enumerate(self._lines(), 1):
            try:
                one = View(**json.loads(line))
            except (ValueError, TypeError):
                raise ArchiveUnusable(
                    f"{self.file.name}, line {count} is no line of a view log"
                ) from None
            if record in (None, one.record) and who in (None, one.who):
                found.append(one)
        return found


def keys_in(answer: object) -> set[str]:
    """Every key that an answer names, at any depth of its plain data."""
    if isinstance(answer, dict):
        own = {str(answer["key"])} if isinstance(answer.get("key"), str) else set()
        return own.union(*(keys_in(one) for one in answer.values()))
    if isinstance(answer, list | tuple):
        return set().union(*(keys_in(one) for one in answer)) if answer else set()
    return set()


def opened_by(
    collection: Collection, reader: Reader, keys: Iterable[str] | None = None
) -> list[tuple[str, str]]:
    """Records closed to the public and open to a reader: key and number of each.

    The number alone: a label may tell what the record tells.

    Args:
        keys: among these; None for the whole archive, as an export shows it.
    """
    store = collection.store
    among = None if keys is None else set(keys)
    if among is None:
        among = {one.key for one in store.of_kind("source")}
        for one in store.of_kind("caution"):
            about = one.body.get("about")
            among |= set(about if isinstance(about, list | tuple) else ())
    asks = closed_now(store, sorted(among))
    seen = [
        key
        for key, ask in asks.items()
        if key in among and reader.may_read(ask) and not PUBLIC.may_read(ask)
    ]
    return [
        (one.key, str(one.body.get("number") or one.key)) for one in store.get(sorted(seen))
    ]
