"""What a form for one observation is made of: fields that keep themselves as a draft."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st

from vestige.graph.errors import BadValue
from vestige.graph.record import MuseumObject

from . import photo, shown, words
from .draft import Drafts

if TYPE_CHECKING:
    from vestige.graph.record import Record
    from vestige.graph.state import State

    from .desk import Desk

OBSERVATION = "observation"
FIELDS = (
    "object", "element", "relation", "other", "date", "phase", "value", "strength",
    "stance", "source", "derived", "when", "method", "spot", "rival", "note", "number",
    "reason", "shows",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sheet:
    """The form on the page.

    Attributes:
        drafts: where what is typed is kept.
        begun: what was kept when the page was drawn, with what it does not show.
        draft: name under which it is kept.
        fields: names of its fields.
        prefix: begins the names of its fields on the page.
    """

    drafts: Drafts
    begun: dict[str, str]
    draft: str = OBSERVATION
    fields: tuple[str, ...] = FIELDS
    prefix: str = "ob"

    def keep(self) -> None:
        """Keep everything typed so far."""
        self.drafts.add(self.draft, self.typed())

    def typed(self) -> dict[str, str]:
        """What stands in the fields that were drawn."""
        keys = {name: f"{self.prefix}-{name}" for name in self.fields}
        return {
            name: _text(st.session_state[key])
            for name, key in keys.items()
            if key in st.session_state
        }

    def several(
        self,
        name: str,
        label: str,
        options: Sequence[str],
        told: Callable[[str], str],
        *,
        new: bool = False,
    ) -> list[str]:
        """A choice of several numbers; with *new*, also of what is written there."""
        key = f"{self.prefix}-{name}"
        kept = [one for one in self.begun.get(name, "").split("; ") if one]
        chosen = st.session_state.get(key, kept)
        st.session_state[key] = [one for one in chosen if new or one in options]
        return st.multiselect(
            label,
            list(options),
            key=key,
            format_func=told,
            on_change=self.keep,
            placeholder=words.CHOOSE_OR_WRITE if new else words.CHOOSE,
            accept_new_options=new,
        )

    def choice(
        self,
        name: str,
        label: str,
        options: Sequence[str],
        told: Callable[[str], str] = str,
        *,
        none: str | None = None,
    ) -> str:
        """A choice among numbers or words; *none* is what an empty choice is called."""
        every = ["", *options] if none is not None else list(options)
        self.start(name, every)
        chosen = st.selectbox(
            label,
            every,
            key=f"{self.prefix}-{name}",
            index=None if none is None else 0,
            placeholder=words.CHOOSE,
            format_func=lambda one: told(one) if one else (none or ""),
            on_change=self.keep,
        )
        return chosen or ""

    def text(self, name: str, label: str) -> str:
        """A field for words; a pause in typing is enough for them to be kept."""
        key = f"{self.prefix}-{name}"
        st.session_state.setdefault(key, self.begun.get(name, ""))
        return (st.text_input(label, key=key, on_change=self.keep, live=True) or "").strip()

    def area(self, name: str, label: str) -> str:
        """A field for several lines, kept when it is left."""
        key = f"{self.prefix}-{name}"
        st.session_state.setdefault(key, self.begun.get(name, ""))
        return st.text_area(label, key=key, on_change=self.keep) or ""

    def pick(
        self, name: str, label: str, options: Sequence[str], told: Callable[[str], str]
    ) -> str:
        """One of a few words, side by side; the first where none was chosen."""
        self.start(name, options)
        key = f"{self.prefix}-{name}"
        if st.session_state[key] is None:
            st.session_state[key] = options[0]
        chosen = st.segmented_control(
            label,
            list(options),
            key=key,
            format_func=told,
            on_change=self.keep,
            required=True,
        )
        return chosen or options[0]

    def clear(self, keep: Mapping[str, str] | None = None) -> None:
        """Empty the form and its draft, but for what is to be kept."""
        self.drafts.keep(self.draft, keep or {})
        forget(self.prefix)

    def start(self, name: str, options: Sequence[str]) -> None:
        """Begin a choice with what was kept, where that can still be chosen."""
        key = f"{self.prefix}-{name}"
        if key not in st.session_state:
            st.session_state[key] = self.begun.get(name) or None
        if st.session_state[key] not in options:
            st.session_state[key] = "" if "" in options else None


def forget(prefix: str) -> None:
    """Let go of what stands in the fields of a form; its draft stays as it is."""
    for key in [one for one in st.session_state if str(one).startswith(f"{prefix}-")]:
        del st.session_state[key]


def object_choice(desk: "Desk", sheet: Sheet) -> str:
    """The field for the object that a form is about; its number, empty where none is."""
    homes = {one.number: one for _, one in desk.listed(desk.objects(), MuseumObject)}
    told = {number: one.label() for number, one in homes.items()}
    return sheet.choice("object", words.F_OBJECT, list(told), told.__getitem__)


def _text(value: object) -> str:
    """What stands in a field, as a draft keeps it."""
    if isinstance(value, list):
        return "; ".join(map(str, value))
    return str(value or "").strip()


class Names(dict[str, str]):
    """Labels by number."""

    def get_label(self, number: str) -> str:
        """The label of a number."""
        return self.get(number, number)


def named(
    state: "State", kind: "type[Record]", wanted: Callable[..., bool] = lambda _: True
) -> Names:
    """Labels, by number, of the records of a kind that are wanted."""
    found = Names()
    for _, one in state.all_of(kind):
        number = one.own_number()
        if number and wanted(one):
            found[number] = one.label()
    return found


def photograph(sheet: Sheet, folder: Path) -> None:
    """A photograph, kept as it came as soon as it is here, so that a reload loses none."""
    given = st.file_uploader(
        words.F_PHOTO, type=list(photo.ENDINGS.values()), key=f"photo-{sheet.begun['key']}"
    )
    if given is not None:
        try:
            taken = photo.read_photo(given.getvalue())
        except BadValue as wrong:
            st.error(shown.plain(wrong))
            return
        found = {
            "photo": photo.keep(folder, taken),
            "checksum": taken.checksum,
            "taken": taken.taken or "",
        }
        sheet.begun.update(found)
        sheet.drafts.add(OBSERVATION, found)
    file = photo.kept_file(folder, sheet.begun.get("photo"))
    if file is None:
        return
    shows = sheet.text("shows", words.F_SHOWS)
    small = photo.small_copy(file)
    if small is None:
        shown.line(words.NOT_SHOWN, "note")
    else:
        st.image(small, alt=shows or words.F_PHOTO, width=420)
    if sheet.begun.get("taken"):
        shown.line(words.PHOTO_TAKEN.format(day=sheet.begun["taken"]), "note")
