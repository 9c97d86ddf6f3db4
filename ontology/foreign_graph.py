"""Statements of others, asked one by one, so that what nobody asked for can be listed."""

import re
from collections import Counter, defaultdict
from collections.abc import Iterable
from typing import Final

from vestige.graph.errors import BadValue
from vestige.graph.record import Edtf
from vestige.graph.record.daycount import iso

from .mapping import short, table

End = tuple[str, str]
"""An object: "iri", "text", and its value."""

INVERSE: Final = re.compile(r"^((?:crm|sci):[PO]\d+)i(_.*)$")
_DAY: Final = re.compile(r"^(-?\d{4})(?:-(\d\d)(?:-(\d\d))?)?(?:T.*)?Z?$")
FORWARD: Final = {
    "crm:P46i": "crm:P46_is_composed_of", "crm:P108i": "crm:P108_has_produced",
    "crm:P31i": "crm:P31_has_modified", "crm:P110i": "crm:P110_augmented",
    "crm:P111i": "crm:P111_added", "crm:P112i": "crm:P112_diminished",
    "crm:P113i": "crm:P113_removed", "crm:P25i": "crm:P25_moved",
    "crm:P24i": "crm:P24_transferred_title_of",
    "crm:P30i": "crm:P30_transferred_custody_of",
    "crm:P12i": "crm:P12_occurred_in_the_presence_of",
    "crm:P67i": "crm:P67_refers_to", "crm:P26i": "crm:P26_moved_to",
}  # fmt: skip
"""Properties by the number of their inverse; statements are turned to read forwards."""


class ForeignGraph:
    """Statements by subject and property; each remembers whether it was asked for.

    Args:
        triples: subject, property (IRIs), object.
    """

    def __init__(self, triples: Iterable[tuple[str, str, End]]) -> None:
        self._said: dict[tuple[str, str], list[tuple[End, int]]] = defaultdict(list)
        self._typed: dict[str, list[str]] = defaultdict(list)
        self._lines: list[str] = []
        self._asked: Counter[int] = Counter()
        self._log: list[int] = []
        for subject, prop, end in triples:
            self._add(subject, prop, end)

    def _add(self, subject: str, prop: str, end: End) -> None:
        line = len(self._lines)
        shown = f"<{end[1]}>" if end[0] == "iri" else repr(end[1])
        self._lines.append(f"<{subject}> {short(prop)} {shown}")
        word = _today(short(prop))
        found = INVERSE.match(word)
        forward = FORWARD.get(f"{found[1]}i") if found else None
        if forward and end[0] == "iri":
            subject, word, end = end[1], forward, ("iri", subject)
        self._said[subject, word].append((end, line))
        if word == "rdf:type" and end[0] == "iri":
            self._typed[_today(short(end[1]))].append(subject)

    def of_class(self, *classes: str) -> list[str]:
        """Subjects of some classes, in order; asking does not mark the statement."""
        return sorted({one for cls in classes for one in self._typed.get(cls, ())})

    def ends(self, subject: str, prop: str) -> list[End]:
        """What a property of a subject ends at; those statements count as read."""
        found = sorted(self._said.get((subject, prop), ()))
        lines = [line for _, line in found]
        self._asked.update(lines)
        self._log += lines
        return [end for end, _ in found]

    def peek(self, subject: str, prop: str) -> list[str]:
        """The things that a property ends at; asking so does not count as reading."""
        found = sorted(self._said.get((subject, prop), ()))
        return [value for (kind, value), _ in found if kind == "iri"]

    def read(self, subject: str, prop: str, thing: str) -> None:
        """Count one statement as read."""
        for end, line in self._said.get((subject, prop), ()):
            if end == ("iri", thing):
                self._asked[line] += 1
                self._log.append(line)

    def has_class(self, subject: str) -> bool:
        """Whether the file says what a thing is."""
        return (subject, "rdf:type") in self._said

    def place(self) -> int:
        """Where reading stands now; for `undo`."""
        return len(self._log)

    def undo(self, place: int) -> None:
        """Count as unread what was read since: nothing came of it."""
        while len(self._log) > place:
            self._asked[self._log.pop()] -= 1

    def things(self, subject: str, prop: str) -> list[str]:
        """The same, only what is a thing and no text."""
        return [value for kind, value in self.ends(subject, prop) if kind == "iri"]

    def texts(self, subject: str, prop: str) -> list[str]:
        """The same, only texts."""
        return [value for kind, value in self.ends(subject, prop) if kind == "text"]

    def label(self, subject: str) -> str:
        """What a thing is called; empty where nobody says."""
        labels = self.texts(subject, "rdfs:label")
        numbers = set(self._typed.get("crm:E42_Identifier", ()))
        names: list[str] = []
        for name in self.things(subject, "crm:P1_is_identified_by"):
            self.ends(name, "rdf:type")
            if name not in numbers:
                names += self.texts(name, "crm:P190_has_symbolic_content")
                names += self.texts(name, "rdfs:label")
        return "; ".join(dict.fromkeys(names or labels))

    def identifiers(self, subject: str) -> list[str]:
        """Its numbers: what is typed as an identifier (E42)."""
        known = set(self._typed.get("crm:E42_Identifier", ()))
        names = self.things(subject, "crm:P1_is_identified_by")
        names += self.things(subject, "crm:P48_has_preferred_identifier")
        return [
            text
            for name in dict.fromkeys(names)
            if name in known
            for text in self.texts(name, "crm:P190_has_symbolic_content")
            or self.texts(name, "rdfs:label")
        ]

    def when(self, subject: str) -> Edtf | None:
        """The date of a happening; None where none is given or it cannot be read."""
        for span in self.things(subject, "crm:P4_has_time-span"):
            self.ends(span, "rdf:type")
            for text in self.texts(span, "crm:P82_at_some_time_within"):
                try:
                    return Edtf.parse(text)
                except BadValue:
                    continue
            first = self.texts(span, "crm:P82a_begin_of_the_begin")
            last = self.texts(span, "crm:P82b_end_of_the_end")
            found = within(first[0] if first else "", last[0] if last else "")
            if found:
                return found
        return None

    def mark_types(self, subjects: Iterable[str]) -> None:
        """Count the classes of these subjects as read."""
        for one in subjects:
            self.ends(one, "rdf:type")

    def unread(self) -> list[str]:
        """Every statement that nobody asked for, as it stood."""
        return [one for nth, one in enumerate(self._lines) if self._asked[nth] < 1]

    def __len__(self) -> int:
        return len(self._lines)


def within(first: str, last: str) -> Edtf | None:
    """An EDTF date for bounds given as XML Schema dates: "some day from ... to ...".

    A whole year, month or day is written as such; None where neither bound can be read.

    >>> str(within("2020-01-01T00:00:00Z", "2020-12-31T23:59:59Z"))
    '2020'
    >>> str(within("1855", "1857"))
    '[1855-01-01..1857-12-31]'
    """
    begin, end = _bound(first), _bound(last)
    if begin is None and end is None:
        return None
    earliest = begin.earliest if begin else None
    latest = end.latest if end else None
    for width in (4, 7, 10):
        whole = Edtf.parse(first[:width]) if begin and len(first) >= width else None
        if whole and (whole.earliest, whole.latest) == (earliest, latest):
            return whole
    low = iso(begin.earliest) if begin and begin.earliest is not None else ""
    high = iso(end.latest) if end and end.latest is not None else ""
    try:
        return Edtf.parse(f"[{low}..{high}]")
    except BadValue:
        return None


def _bound(text: str) -> Edtf | None:
    found = _DAY.match(text)
    if not found:
        return None
    try:
        return Edtf.parse("-".join(part for part in found.groups() if part))
    except BadValue:
        return None


def _today(term: str) -> str:
    """A term by the name and namespace that it has today."""
    aliases: dict[str, str] = table()["alias"]
    for old, new in aliases.items():
        if old.startswith("http") and term.startswith(old):
            term = new + term[len(old) :]
    return aliases.get(term, term)
