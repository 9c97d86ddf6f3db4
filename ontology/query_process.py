"""The process in which one question is asked; task and statements come over its input.

It has no archive, only the statements that were written for the reader. Its memory is
bounded where the system can do that, its time by a timer of its own and by whoever
started it.
"""

import json
import os
import sys
import threading
from typing import Any


def main() -> None:
    """Read the task, ask, print the answer as one JSON document."""
    task = json.loads(sys.stdin.buffer.readline())
    _bound_memory(int(task["memory"]))
    answer = _asked(task, _loaded())
    sys.stdout.buffer.write(json.dumps(answer, ensure_ascii=False).encode())


def _bound_memory(most: int) -> None:
    try:
        import resource
    except ImportError:  # a system without it is bounded by time alone
        return
    resource.setrlimit(resource.RLIMIT_AS, (most, most))


def _end(seconds: float) -> None:
    ended = (
        f"the question was not answered in {seconds:g} seconds and was ended; "
        "ask for less, or give it longer with --seconds"
    )
    os.write(1, json.dumps({"ended": ended}).encode())
    os._exit(0)


def _loaded() -> Any:
    """A store of the statements that come over the input."""
    import pyoxigraph as ox

    store = ox.Store()
    store.load(sys.stdin.buffer, format=ox.RdfFormat.N_TRIPLES)
    return store


def _asked(task: dict[str, Any], store: Any) -> dict[str, Any]:
    """The answer; a timer ends the process where it takes too long."""
    import pyoxigraph as ox

    timer = threading.Timer(float(task["seconds"]), _end, [float(task["seconds"])])
    timer.daemon = True
    timer.start()
    try:
        return _answer(task, store, ox)
    finally:
        timer.cancel()


def _answer(task: dict[str, Any], store: Any, ox: Any) -> dict[str, Any]:
    try:
        found = store.query(task["query"], prefixes=task["prefixes"])
    except (SyntaxError, ValueError, RuntimeError, OSError) as wrong:
        return {"wrong": str(wrong)}
    try:
        return _table(found, int(task["rows"]), ox)
    except (ValueError, RuntimeError, OSError) as wrong:
        return {"wrong": str(wrong)}
    except MemoryError:
        return {"ended": "the question took more memory than it may and was ended"}


def _table(found: Any, most: int, ox: Any) -> dict[str, Any]:
    if isinstance(found, ox.QueryBoolean):
        return {"heads": ["answer"], "rows": [["yes" if found else "no"]], "cut": False}
    if isinstance(found, ox.QueryTriples):
        heads = ["subject", "property", "object"]
        rows = ([one.subject, one.predicate, one.object] for one in found)
    else:
        heads = [one.value for one in found.variables]
        rows = ([one[nth] for nth in range(len(heads))] for one in found)
    table: list[list[str | None]] = []
    for row in rows:
        if len(table) == most:
            return {"heads": heads, "rows": table, "cut": True}
        table.append([_text(cell) for cell in row])
    return {"heads": heads, "rows": table, "cut": False}


def _text(cell: Any) -> str | None:
    if cell is None:
        return None
    return str(getattr(cell, "value", cell))


if __name__ == "__main__":
    main()
