"""SQL and Cypher kept in files beside this module, read once and found by name."""

import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

_MARK = re.compile(r"^(?:--|//) (name|part): (\w+)\n", re.MULTILINE)
_GAP = re.compile(r"\{(\w+)\}")


def script(name: str, language: str = "sql") -> str:
    """The whole text of a file of SQL or Cypher, e.g. ``"ledger"``."""
    return files(__package__).joinpath(f"{name}.{language}").read_text("utf-8")


@cache
def statements(name: str, language: str = "sql") -> Mapping[str, str]:
    """Statements of a file by name, with the named parts that they share filled in.

    A statement begins at a line ``-- name: x``, a part at ``-- part: x`` (in Cypher with
    ``//``); ``{x}`` stands for a part that was given further up.
    """
    pieces = _MARK.split(script(name, language))[1:]
    parts: dict[str, str] = {}
    found: dict[str, str] = {}
    for sort, title, text in zip(*[iter(pieces)] * 3, strict=True):
        filled = _GAP.sub(lambda gap: parts[gap[1]], text.strip())
        (parts if sort == "part" else found)[title] = filled
    return found
