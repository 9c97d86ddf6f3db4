"""The desk: one archive, one reader and one day as known; every answer a page shows.

Nothing here knows of pages. Each answer is kept as long as the record stands as it did,
so that a page that is drawn again does not assess again.
"""

import datetime
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar, cast

from pydantic import BaseModel

from vestige.graph.collection import Collection, end_of_day, last_day_of
from vestige.graph.errors import BadValue, NotRecorded, VestigeError
from vestige.graph.record import Record
from vestige.graph.state import Reader, State

from ..gate.view_log import NO_ACCOUNT, ViewLog, keys_in, opened_by
from . import words_refusal

if TYPE_CHECKING:
    from vestige.graph.answer.arrangement import Arrangements
    from vestige.graph.answer.assessment import AssessmentOf, WhyOf
    from vestige.graph.answer.change import ObjectChanges
    from vestige.graph.answer.conflict import Conflicts
    from vestige.graph.answer.custody import Custody
    from vestige.graph.answer.decision import Decisions
    from vestige.graph.answer.due import DueOf
    from vestige.graph.answer.found import Found
    from vestige.graph.answer.life import LifeOf
    from vestige.graph.answer.report import ReportOf
    from vestige.graph.answer.source import Sources
    from vestige.graph.answer.unknown import Unknowns
    from vestige.graph.answer.whereabouts import Contents, Location, Missing

T = TypeVar("T")
R = TypeVar("R", bound=Record)
KEPT_ANSWERS = 120


class Shelf:
    """Answers that were given before, the oldest let go first; safe for several threads."""

    def __init__(self, size: int = KEPT_ANSWERS) -> None:
        self._size = size
        self._kept: OrderedDict[Hashable, object] = OrderedDict()
        self._turn = threading.Lock()

    def take(self, mark: Hashable, make: Callable[[], T]) -> T:
        """What stands under a mark; made now where nothing does."""
        with self._turn:
            if mark in self._kept:
                self._kept.move_to_end(mark)
                return cast(T, self._kept[mark])
        made = make()
        with self._turn:
            self._kept[mark] = made
            while len(self._kept) > self._size:
                self._kept.popitem(last=False)
        return made


@dataclass(frozen=True, slots=True)
class Desk:
    """Asks an archive on behalf of one reader.

    Attributes:
        collection: the open archive.
        reader: who reads; what is closed to them is closed before anything is answered.
        known: record time as known, milliseconds since 1970; None for now.
        shelf: where answers are kept between two looks.
        who: what the view log calls whoever looks.
        holds: roles in which their account may record; None where nobody signs in.
    """

    collection: Collection
    reader: Reader
    known: int | None
    shelf: Shelf
    who: str = NO_ACCOUNT
    holds: tuple[str, ...] | None = None

    @classmethod
    def on(
        cls,
        collection: Collection,
        reads: Reader | str | None,
        day: str | None,
        shelf: Shelf,
        who: str = NO_ACCOUNT,
    ) -> "Desk":
        """A desk for a reader, or a role, and a day as known.

        Raises:
            BadValue: where the day cannot be read.
        """
        known = end_of_day(day) if day and day.strip() else None
        reader = reads if isinstance(reads, Reader) else Reader(reads or None)
        return cls(collection, reader, known, shelf, who)

    @property
    def folder(self) -> Path:
        """Folder of the archive."""
        return self.collection.folder or Path()

    def once(self, what: Hashable, make: Callable[[], T]) -> T:
        """An answer, given again unless something was recorded since.

        The mark names the reader and the day: an answer for one reader is never shown
        to another.
        """
        seq = self.collection.store.head().seq
        answer = self.shelf.take((seq, self.known, self.reader, what), make)
        return self.noted(answer, (seq, what))

    def noted(self, answer: T, mark: Hashable = None) -> T:
        """The answer, once it is noted which restricted records it opens to the reader.

        Raises:
            Refused: where that cannot be noted; nothing may be shown then.
        """
        if self.reader.public or not isinstance(answer, BaseModel):
            return answer
        if mark is None:
            self.saw(keys_in(answer.model_dump()))
            return answer
        opened = self.shelf.take(
            ("opened", self.known, self.reader, mark),
            lambda: opened_by(self.collection, self.reader, keys_in(answer.model_dump())),
        )
        self._note(opened)
        return answer

    def saw(self, keys: Iterable[str]) -> None:
        """Note that these records are about to be shown, as far as they are restricted."""
        if not self.reader.public:
            self._note(opened_by(self.collection, self.reader, keys))

    def listed(self, state: State, *kinds: type[R]) -> list[tuple[str, R]]:
        """Records of some kinds whose names are about to be shown, noted as shown."""
        found = [pair for kind in kinds for pair in state.all_of(kind)]
        self.saw([key for key, _ in found])
        return found

    def _note(self, opened: list[tuple[str, str]]) -> None:
        if opened and self.collection.folder is not None:
            log = ViewLog(self.collection.folder)
            log.note(self.who, self.reader.names, opened, "pages")

    def empty(self) -> bool:
        """Whether nothing is recorded yet."""
        return self.collection.store.head().seq == 0

    def around(self, number: str) -> tuple[State, str, str]:
        """The state around the object that a thing belongs to, its key and the thing's."""
        return self.once(
            ("around", number),
            lambda: self.collection.of_object(number, known=self.known, reader=self.reader),
        )

    def objects(self) -> State:
        """The state of every object by its own record."""
        return self.once(
            "objects",
            lambda: self.collection.objects(known=self.known, reader=self.reader),
        )

    def everything_kept(self) -> State:
        """The state of objects, elements and all that ought to be somewhere."""
        return self.once(
            "kept",
            lambda: self.collection.kept_things(known=self.known, reader=self.reader),
        )

    def whole(self) -> State:
        """The state of the whole archive."""
        return self.once(
            "whole", lambda: self.collection.whole(known=self.known, reader=self.reader)
        )

    def all_of(self, *kinds: str) -> State:
        """The state of all records of some kinds alone."""
        read = self.collection.all_of
        return self.once(
            ("all of", kinds), lambda: read(*kinds, known=self.known, reader=self.reader)
        )

    def about(self, number: str) -> tuple[State, str]:
        """The state around the object a thing comes from, or around the thing itself."""

        def read() -> tuple[State, str]:
            collection, known = self.collection, self.known
            key = collection.find(number, known, self.reader)
            home = collection.home_of(key, known)
            look = collection.places_of if home == key else collection.around
            return look(home, known=known, reader=self.reader), key

        state, key = self.once(("about", number), read)
        self.saw([key])
        return state, key

    def assessment(self, number: str) -> "AssessmentOf":
        """A verdict for every element of an object."""
        from vestige.graph.answer.assessment import assess_of

        state, home, _ = self.around(number)
        return self.once(("assess", home), lambda: assess_of(state, home))

    def why(self, number: str) -> "WhyOf":
        """The grounds of one verdict."""
        from vestige.graph.answer.assessment import why_of

        state, _, key = self.around(number)
        return self.once(("why", key), lambda: why_of(state, key))

    def report(self, number: str) -> "ReportOf":
        """The report of an object, with the order of its layers and events."""
        from vestige.graph.answer.report import report_of

        state, home, _ = self.around(number)
        mark = self.collection.mark()
        return self.once(("report", home), lambda: report_of(state, home, mark))

    def arrangements(self, number: str) -> "Arrangements":
        """How the parts stood in each phase."""
        from vestige.graph.answer.arrangement import arrangements_of

        state, home, _ = self.around(number)
        return self.once(("arranged", home), lambda: arrangements_of(state, home))

    def conflicts(self, number: str) -> "Conflicts":
        """Records about one object that contradict each other."""
        from vestige.graph.answer.conflict import conflicts_of

        state, home, _ = self.around(number)
        return self.once(("conflicts", home), lambda: conflicts_of(state, home))

    def unknowns(self, number: str) -> "Unknowns":
        """What is unknown about one object, and what would settle it."""
        from vestige.graph.answer.unknown import unknowns_of

        state, home, _ = self.around(number)
        return self.once(("unknowns", home), lambda: unknowns_of(state, home))

    def decisions(self, number: str) -> "Decisions":
        """The decisions on one object, beside what their ground is now."""
        from vestige.graph.answer.decision import decisions_of

        state, home, _ = self.around(number)

        def then(moment: int) -> State | None:
            read = self.collection.around
            earlier = read(home, known=moment, reader=self.reader)
            return earlier if home in earlier else None

        return self.once(("decisions", home), lambda: decisions_of(state, home, then))

    def changes(self, since: str, number: str | None) -> "tuple[ObjectChanges, ...]":
        """What was recorded after the end of a day, about one object or all.

        Raises:
            BadValue: where the day cannot be read, or lies after the day as known.
        """
        from vestige.graph.answer.change import object_changes
        from vestige.graph.answer.decision import object_decisions

        moment, home = end_of_day(since), None
        if self.known is not None and self.known < moment:
            raise BadValue(words_refusal.LIES_BEFORE.format(since=since))
        if number:
            _, home, _ = self.around(number)
        found = self.collection.changed(moment, home, known=self.known, reader=self.reader)

        def of_one(key: str) -> "ObjectChanges":
            before, now = found.view(key, moment), found.view(key, self.known)
            told = (
                object_decisions(now, key, lambda earlier: found.view(key, earlier))
                if now is not None and before is not None
                else ()
            )
            return object_changes(found, key, before, now, told)

        loose = () if home else (object_changes(found, None, None, None),)
        keys = [home] if home else found.homes
        return (*(of_one(key) for key in keys), *loose)

    def location(self, number: str) -> "Location":
        """Where a thing is, or all that was taken off an object."""
        from vestige.graph.answer.whereabouts import locate

        key = self.collection.find(number, self.known, self.reader)
        state = self._places(key)
        return self.once(("locate", key), lambda: locate(state, key))

    def contents(self, number: str) -> "Contents":
        """What lies in a container or place, to any depth."""
        from vestige.graph.answer.whereabouts import contents_of

        key = self.collection.find(number, self.known, self.reader)
        read = self.collection.inside_of
        return self.once(
            ("contents", key),
            lambda: contents_of(read(key, known=self.known, reader=self.reader), key),
        )

    def custody(self, number: str) -> "Custody":
        """Who held a thing when, and where it lay."""
        from vestige.graph.answer.custody import custody_of

        state, key = self.about(number)
        return self.once(("custody", key), lambda: custody_of(state, key))

    def life(self, number: str) -> "LifeOf":
        """What became of a part or sample."""
        from vestige.graph.answer.life import life_of

        key = self.collection.find(number, self.known, self.reader)
        state = self._places(key)
        return self.once(("life", key), lambda: life_of(state, key))

    def missing(self) -> "Missing":
        """What ought to be somewhere and is not known to be."""
        from vestige.graph.answer.whereabouts import missing_of

        return self.once("missing", lambda: missing_of(self.everything_kept()))

    def due(self) -> "DueOf":
        """What is due for review by today."""
        from vestige.graph.answer.due import due_of

        today = datetime.datetime.now(datetime.UTC).date().isoformat()
        day = last_day_of(today)
        return self.once(("due", today), lambda: due_of(self.whole(), day, today))

    def found(self, words: str, kind: str | None = None) -> "Found":
        """Records that speak of some words."""
        from vestige.graph.answer.found import found_of

        state, keys = self.collection.search(
            words, kind, known=self.known, reader=self.reader
        )
        return self.noted(found_of(state, keys, words))

    def sources(self, number: str) -> "Sources":
        """Who said so; for a source, all that rests on its word."""
        from vestige.graph.answer.source import sources_of
        from vestige.graph.keeping.sample import things_sampled

        state, key = self.about(number)
        kind = state.held(key).record.kind
        if kind == "source":
            told = self.collection.told_by(key, known=self.known, reader=self.reader)
            return self.noted(sources_of(told, key))
        things = things_sampled(state, key) if kind == "object" else (key,)
        return self.noted(sources_of(state, key, things))

    def sees(self, key: str) -> bool:
        """Whether the reader sees a record as it was said; what is closed says less."""
        found = self.collection.store.get([key])
        state = self.collection.these([key], known=self.known, reader=self.reader)
        if not found or key not in state:
            return False
        return found[0].body == state.held(key).record.body()

    def number_of(self, name: str) -> str | None:
        """The number of what is meant by a number or a label's code; None for neither."""
        try:
            key = self.collection.find(name.strip(), self.known, self.reader)
        except VestigeError:
            return None
        state, found = self.about(key)
        return state.number(found)

    def _places(self, key: str) -> State:
        read = self.collection.places_of
        return self.once(
            ("places", key), lambda: read(key, known=self.known, reader=self.reader)
        )


def home_number(desk: Desk, number: str) -> str:
    """Number of the object that a thing comes from.

    Raises:
        NotRecorded: where it comes from none.
    """
    state, key = desk.about(number)
    home = desk.collection.home_of(key, desk.known)
    if state.held(home).record.kind != "object":
        raise NotRecorded(words_refusal.OF_NO_OBJECT.format(thing=state.label(key)))
    return state.number(home)
