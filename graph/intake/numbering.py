"""Which record a number means: in the papers first, then in the archive.

A number is the current one of one record only, whatever its kind; old numbers are
understood where no record bears them now.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import lru_cache
from typing import Final

from ..problem import Place
from ..record import KINDS, Record, fold_number, pointing_fields
from ..store import Stated, Store

CLOSE_LOOKS: Final = 25
"""For so many dangling numbers a close one is looked for; each look takes a while."""


@lru_cache(maxsize=65_536)
def folded(number: str) -> str:
    """`fold_number`, remembered."""
    return fold_number(number)


@dataclass(frozen=True, slots=True)
class Named:
    """A record that bears a number.

    Attributes:
        key: its key.
        kind: its kind.
        number: its current number as written.
        place: where in the papers it stands; None where it is in the archive only.
        old: the number asked for is an old number, or the code of its label.
    """

    key: str
    kind: str
    number: str
    place: Place | None = None
    old: bool = False


@dataclass(slots=True)
class Numbering:
    """The numbers of the papers and of the archive.

    Attributes:
        store: the archive; None where there is none yet.
    """

    store: Store | None
    _current: dict[str, Named] = field(default_factory=dict)
    _older: dict[str, list[Named]] = field(default_factory=dict)
    _by_key: dict[str, Named] = field(default_factory=dict)
    _archived: dict[str, list[Stated]] = field(default_factory=dict)
    _stated: dict[str, Stated | None] = field(default_factory=dict)
    _looks: int = 0

    def enter(self, one: Named) -> Named | None:
        """Enter a record of the papers; the one that bears its number already, or None."""
        first = self._current.setdefault(folded(one.number), one)
        self._by_key.setdefault(one.key, one)
        return None if first is one else first

    def enter_old(self, number: str, one: Named) -> None:
        """Enter an old number of a record of the papers."""
        self._older.setdefault(folded(number), []).append(one)

    def archived(self, number: str) -> list[Stated]:
        """Records of the archive that bear a number, now or once."""
        if self.store is None:
            return []
        known = folded(number)
        if known not in self._archived:
            self._archived[known] = self.store.named(number)
        return self._archived[known]

    def stated(self, key: str) -> Stated | None:
        """The version that stands in the archive under a key."""
        if self.store is None:
            return None
        if key not in self._stated:
            found = self.store.get([key])
            self._stated[key] = found[0] if found else None
        return self._stated[key]

    def find(self, number: str) -> list[Named]:
        """The records that a number means: one, none, or several by an old number."""
        known = folded(number)
        if known in self._current:
            return [self._current[known]]
        archived = self.archived(number)
        bearing = [_named(one) for one in archived if is_current(one, number)]
        if bearing:
            return bearing
        older = [*self._older.get(known, []), *map(_named, archived)]
        once = {one.key: _as_old(self._by_key.get(one.key, one)) for one in older}
        return list(once.values())

    def number_of(self, key: str) -> str:
        """The current number of a record; its key where it bears none."""
        if key in self._by_key:
            return self._by_key[key].number
        stated = self.stated(key)
        return _named(stated).number if stated else key

    def close_to(self, number: str) -> str:
        """A number of the papers that is written much like this one; "" for none."""
        self._looks += 1
        if self._looks > CLOSE_LOOKS:
            return ""
        close = get_close_matches(folded(number), list(self._current), 1, 0.8)
        return self._current[close[0]].number if close else ""


def is_current(stated: Stated, number: str) -> bool:
    """Whether a record of the archive bears a number now, not only once."""
    current = stated.body.get("number")
    return isinstance(current, str) and folded(current) == folded(number)


def home_of(kind: str, said: Mapping[str, object]) -> Sequence[str]:
    """Keys of the records that a record belongs to."""
    keys: list[str] = []
    for name, points in _pointing(kind).items():
        value = said.get(name)
        if points and isinstance(value, str):
            keys.append(value)
        elif points and isinstance(value, (list, tuple)):
            keys += [one for one in value if isinstance(one, str)]
    return keys


@lru_cache(maxsize=64)
def _pointing(kind: str) -> Mapping[str, bool]:
    model: type[Record] = KINDS[kind]
    return {name: points.home for name, points in pointing_fields(model).items()}


def _named(stated: Stated) -> Named:
    return Named(stated.key, stated.kind, str(stated.body.get("number", stated.key)))


def _as_old(one: Named) -> Named:
    return Named(one.key, one.kind, one.number, one.place, old=True)
