"""Drafts: what somebody has begun to write and not recorded yet.

They lie in one small file in the archive's folder, so that a page that is loaded again, a
lost connection or a restart loses nothing. A draft is no part of the record: it is in no
answer, no export and no backup of the record.
"""

import hashlib
import json
import os
import threading
from collections import defaultdict
from collections.abc import Mapping
from pathlib import Path

DRAFTS_FILE = "drafts.json"
FORM = "vestige.drafts/1"
_TURNS: defaultdict[Path, threading.Lock] = defaultdict(threading.Lock)
"""One writer of a file at a time: a page that is loaded again meets its own last run."""


class Drafts:
    """The drafts beside one archive.

    Args:
        folder: folder of the archive.
        name: whose they are; None where nobody signs in. What one account has begun is
            not shown to another.
    """

    def __init__(self, folder: Path, name: str | None = None) -> None:
        own = f"-{hashlib.sha256(name.encode()).hexdigest()[:16]}" if name else ""
        self.file = folder / DRAFTS_FILE.replace(".json", f"{own}.json")
        self._turn = _TURNS[self.file.absolute()]

    def read(self, name: str) -> dict[str, str]:
        """What was kept under a name; empty where nothing was."""
        with self._turn:
            found = self._all().get(name, {})
        return {str(key): str(value) for key, value in found.items()}

    def keep(self, name: str, values: Mapping[str, str]) -> None:
        """Keep these values under a name, in place of what was there; empty ones not.

        Written to a second file first: a power cut leaves the old drafts or the new ones.
        """
        with self._turn:
            self._write(name, values)

    def add(self, name: str, values: Mapping[str, str]) -> None:
        """Keep these values beside what is kept under a name; an empty one is let go."""
        with self._turn:
            self._write(name, {**self._all().get(name, {}), **values})

    def _write(self, name: str, values: Mapping[str, str]) -> None:
        every = self._all()
        kept = {key: value for key, value in values.items() if value}
        if every.get(name, {}) == kept:
            return
        every[name] = kept
        if not kept:
            del every[name]
        part = self.file.with_name(f"{self.file.name}.{os.getpid()}.part")
        said = {"form": FORM, "drafts": every}
        part.write_text(json.dumps(said, ensure_ascii=False, indent=1), "utf-8")
        os.replace(part, self.file)

    def drop(self, name: str) -> None:
        """Forget what was kept under a name."""
        self.keep(name, {})

    def _all(self) -> dict[str, dict[str, str]]:
        try:
            said = json.loads(self.file.read_text("utf-8"))
        except (OSError, ValueError):
            return {}  # no drafts yet, or a file that is none: the record is elsewhere
        drafts = said.get("drafts") if isinstance(said, dict) else None
        if not isinstance(drafts, dict):
            return {}
        return {
            str(name): dict(values)
            for name, values in drafts.items()
            if isinstance(values, dict)
        }
