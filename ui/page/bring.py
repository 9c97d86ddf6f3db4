"""Bring in sheets: check first, show what would change, then record all or nothing."""

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st

from vestige.graph.errors import VestigeError
from vestige.graph.intake import acts, draft, origin, read_papers

from ..gate.preview import as_seen
from . import recording, shown, words
from .desk import Desk

if TYPE_CHECKING:
    from vestige.graph.intake import Draft

ENDINGS = ("xlsx", "xlsm", "xls", "ods", "yaml", "yml")


def bring_page(desk: Desk, by: str) -> None:
    """Check a file and, where nothing is wrong, record it."""
    shown.title(words.BRING, words.BRING_UNDER)
    if desk.known is not None:
        shown.line(words.KNOWN_PAST)
        return
    done = st.session_state.pop("brought", None)
    if done:
        st.success(shown.plain(done))
    given = st.file_uploader(words.BRING_FILE, type=list(ENDINGS), key="bring-file")
    if given is None:
        return
    with tempfile.TemporaryDirectory() as folder:
        # the name is the sender's: only its ending is used for a path
        file = Path(folder) / f"sheets.{_ending(given.name)}"
        file.write_bytes(given.getvalue())
        try:
            drafted = as_seen(_drafted(desk, file), desk.collection, desk.reader)
        except VestigeError as why:
            told = str(why).replace(str(file), given.name).replace(file.name, given.name)
            st.error(shown.plain(words.BRING_UNREADABLE.format(why=told)))
            return
        _tell(desk, drafted)
        _offer(desk, by, file, drafted)


def _offer(desk: Desk, by: str, file: Path, drafted: "Draft") -> None:
    """The button that records all of it, or why there is none."""
    if drafted.errors:
        st.error(words.BRING_WRONG)
    elif not acts(drafted):
        st.info(words.BRING_NOTHING)
    elif not by:
        st.info(words.NO_ROLE)
    elif st.button(words.BRING_DO, type="primary"):
        mark = bring_in(desk, file, by)
        st.session_state["brought"] = words.BRING_DONE.format(mark=mark)
        st.rerun()


def bring_in(desk: Desk, file: Path, by: str) -> str:
    """Record what a file says, all or nothing; where the record ends then.

    Raises:
        Refused: where the archive's rules do not allow it.
    """
    drafted = _drafted(desk, file)
    if not drafted.errors and acts(drafted):
        recording.record(desk, by, acts(drafted), origin=origin(drafted))
    return desk.collection.mark()


def _drafted(desk: Desk, file: Path) -> "Draft":
    return draft(read_papers(file), desk.collection.store, desk.collection.keys)


def _ending(name: str) -> str:
    last = name.rsplit(".", 1)[-1].lower()
    return last if last in ENDINGS else "xlsx"


def _tell(desk: Desk, drafted: "Draft") -> None:
    wrong = len(drafted.errors)
    told = words.BRING_CHECK.format(
        new=len(drafted.new),
        changed=len(drafted.changed),
        same=len(drafted.same),
        wrong=wrong,
    )
    shown.line(told, "big")
    if drafted.problems:
        rows = [
            (
                shown.word(str(one.weight)),
                one.place.sheet or "",
                str(one.place.row or ""),
                one.place.column or "",
                one.wrong,
                one.right,
            )
            for one in drafted.problems
        ]
        shown.head(words.BRING_PROBLEMS)
        shown.table(words.BRING_PROBLEM_HEADS, rows, words.BRING_PROBLEMS)
        shown.save_csv("problems", words.BRING_PROBLEM_HEADS, rows, "csv-problems")
    if drafted.changed:
        shown.head(words.BRING_CHANGED)
        changes = [
            (
                one.record.label(),
                each.head,
                _before(desk, one.key, each.before),
                each.after or words.NONE,
            )
            for one in drafted.changed
            for each in one.differences
        ]
        shown.table(words.BRING_CHANGE_HEADS, changes, words.BRING_CHANGED)
    if drafted.new:
        with st.expander(f"{words.BRING_NEW} ({len(drafted.new)})"):
            new = [
                (one.record.label(), shown.word(one.record.meaning)) for one in drafted.new
            ]
            shown.table(words.BRING_NEW_HEADS, new, words.BRING_NEW)


def _before(desk: Desk, key: str, said: str | None) -> str:
    """What the archive says now, where this reader may see it."""
    if not desk.sees(key):
        return words.CLOSED
    return said or words.NONE
