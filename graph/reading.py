"""Reading an archive: what stands under a name, around a thing, in a box, in the whole.

Each read takes the day as known and the reader; what the reader may not see is closed
before anything else happens.
"""

from collections.abc import Iterable, Sequence

from .answer.change_walk import Changes, closed_now, read_held, walk_changes
from .answer.closed_walk import closed_few, withheld
from .answer.code_walk import as_code, refuse_slip
from .answer.fragment_walk import suspected, walk_fragment
from .errors import NotRecorded, Refused
from .keeping import Wanted
from .record import KINDS, Batch, Caution, Material, MuseumObject, Role, looks_like_a_code
from .state import HOME_WORDS, PUBLIC, Held, Reader, State, closed_content, open_to
from .store import Edge, Stated, Store, inwards, outwards

KEPT_KINDS = (
    "object", "element", "happening", "part", "sample", "fragment", "container", "place",
    "move", "sighting", "fate", "caution", "decision", "picture",
)  # fmt: skip
LOOKED_AT = ("looks for", "moves", "befell", "warns of", "asks about", "about", "shows",
    "decides on",
)  # fmt: skip


class Reading:
    """What can be read from a store.

    Args:
        store: where the ledger is kept.
    """

    _withheld: tuple[tuple[int, int | None, Reader], frozenset[str]] | None = None

    def __init__(self, store: Store) -> None:
        self.store = store

    def find(
        self, name: str, known: int | None = None, reader: Reader | None = None
    ) -> str:
        """Key of the one record that people mean by a number, a key or a label's code.

        What a reader may not know of bears no number for them; None may know of all.

        Raises:
            NotRecorded: where nothing bears it; the text names numbers that are close.
            Refused: where several records do.
        """
        found = (
            self.store.named(name, known)
            or self.store.get([name.upper()], known)
            or self.store.named(as_code(name), known)
        )
        gone = frozenset[str]() if reader is None else self._gone(known, reader)
        found = [one for one in found if one.key not in gone]
        if not found and looks_like_a_code(name):
            refuse_slip(self.store, name, gone)
        if not found:
            raise NotRecorded(
                f"nothing is recorded under '{name}'{self._nearby(name, known)}"
            )
        if len(found) > 1:
            both = ", ".join(f"{one.kind} {one.open_name}" for one in found)
            raise Refused(f"'{name}' is a number of several records: {both}")
        return found[0].key

    def _nearby(self, name: str, known: int | None) -> str:
        """What is close to a name, as far as everybody may know of it."""
        words = name.replace("-", " ").replace(".", " ").strip()
        if not words:
            return "; 'vestige find' lists what there is"
        state, close = self.search(words, known=known)
        if not close:
            return "; 'vestige find' lists what there is"
        return "; close to it: " + ", ".join(state.label(key) for key in close[:3])

    def around(
        self, key: str, *, known: int | None = None, reader: Reader = PUBLIC
    ) -> State:
        """The state of everything that belongs to one thing, and all that this names.

        For an object: its elements, claims, happenings, kept parts and samples, with
        sources, materials, and the places of what was taken off.
        """
        gathered = self.store.gather(key, known)
        lying = [one.key for one in gathered if one.kind in ("part", "sample", "fragment")]
        return self._state([*gathered, *self._holding(lying, known)], known, reader)

    def of_object(
        self, number: str, *, known: int | None = None, reader: Reader = PUBLIC
    ) -> tuple[State, str, str]:
        """The state around the object that a thing belongs to, its key, and the thing's.

        Raises:
            NotRecorded: where nothing bears the number, or it is on no object.
        """
        key = self.find(number, known, reader)
        [asked] = self.store.get([key], known)
        home = key if asked.kind == MuseumObject.kind else asked.body.get("object")
        if home is None:
            raise NotRecorded(
                f"{asked.open_name} is a {asked.kind}: name an object, or an element or "
                "happening of one"
            )
        return self.around(str(home), known=known, reader=reader), str(home), key

    def mark(self) -> str:
        """Where the record ends now, for the foot of a paper: entry and seal, shortened."""
        head = self.store.head()
        return f"entry {head.seq}, seal {head.seal.hex()[:16]}"

    def places_of(
        self, key: str, *, known: int | None = None, reader: Reader = PUBLIC
    ) -> State:
        """The state that says where a thing is, and where what was taken off it is."""
        gathered = self.store.gather(key, known)
        lying = [one.key for one in gathered if one.kind in ("part", "sample")]
        held = self._holding([key, *lying], known)
        return self._state([*gathered, *held], known, reader)

    def kept_things(self, *, known: int | None = None, reader: Reader = PUBLIC) -> State:
        """The state of everything that ought to be somewhere, and of every place."""
        records = [one for kind in KEPT_KINDS for one in self.store.of_kind(kind, known)]
        return self._state(records, known, reader)

    def search(
        self,
        words: str,
        kind: str | None = None,
        *,
        known: int | None = None,
        reader: Reader = PUBLIC,
    ) -> tuple[State, list[str]]:
        """Keys of records that speak of some words, and the state that names them.

        A record whose content is closed to the reader is not found by its words.
        """
        found = self.store.search(words, kind, known=known)
        held, seen = self._readable(found, known, reader)
        return State(open_to(reader, held), known), [one.key for one in seen]

    def inside_of(
        self, holder: str, *, known: int | None = None, reader: Reader = PUBLIC
    ) -> State:
        """The state of everything that ever lay in a holder, and where it is."""
        return self.inside_all([holder], known=known, reader=reader)

    def inside_all(
        self, holders: Sequence[str], *, known: int | None = None, reader: Reader = PUBLIC
    ) -> State:
        """The same for several holders, or things that hold nothing."""
        keys = sorted(inwards(self.store, holders, known))
        return self._state(self._holding(keys, known), known, reader)

    def holders_of(
        self, keys: Sequence[str], *, known: int | None = None, reader: Reader = PUBLIC
    ) -> State:
        """The state that says where some things are, without what lies in them."""
        return self._few(self._holding(keys, known), known, reader)

    def home_of(self, key: str, known: int | None = None) -> str:
        """Key of the object that a thing comes from; its own key where none is recorded."""
        ways = self.store.walk([key], sorted(HOME_WORDS), "out", known=known)
        ends = self.store.get(sorted({key, *_ends(ways)}), known)
        return next((one.key for one in ends if one.kind == MuseumObject.kind), key)

    def recalled(
        self, name: str, *, known: int | None = None, reader: Reader = PUBLIC
    ) -> tuple[State, Wanted, str | None]:
        """What is recalled under a name, and the state of all that it may have touched.

        The third value is the key of the record named, None for a class or mere words.
        The state is gathered by walks from the material; its size is that of the answer.

        Raises:
            NotRecorded: where a record is named by which nothing can be recalled.
        """
        from .answer.recall_walk import walk_recall

        keys, wanted, named = walk_recall(
            self.store, name, lambda some: self._readable(some, known, reader)[1], known
        )
        return self._state(self._holding(keys, known), known, reader), wanted, named

    def told_by(
        self, source: str, *, known: int | None = None, reader: Reader = PUBLIC
    ) -> State:
        """The state of all that rests on a source's word, and of what copies it."""
        copies = self.store.walk([source], ["copies"], "in", known=known)
        copied = self.store.walk([source], ["copies"], "out", known=known)
        keys = sorted({source, *_ends(copies), *_ends(copied)})
        said = self.store.edges(keys, ["according to", "derived from"], "in", known=known)
        records = sorted({*keys, *(edge.record for edge in said), *_ends(said)})
        beyond = self.store.edges(records, None, "out", known=known)
        reached = sorted({*records, *_ends(beyond)})
        warned = self.store.edges(reached, ["warns of"], "in", known=known)
        every = sorted({*reached, *_ends(warned)})
        return self._state(self.store.get(every, known), known, reader)

    def around_fragment(
        self, key: str, home: str | None, *, known: int | None, reader: Reader
    ) -> tuple[State, list[str], tuple[str, ...]]:
        """The state in which a fragment is matched; for the rest see `walk_fragment`."""
        elements, besides, cut = walk_fragment(self.store, key, home, known)
        held = self._holding([*elements, *besides], known)
        return self._state(held, known, reader), elements, cut

    def whole(self, *, known: int | None = None, reader: Reader = PUBLIC) -> State:
        """The state of the whole archive; for questions that no object bounds."""
        records = [one for kind in KINDS for one in self.store.of_kind(kind, known)]
        return self._state(records, known, reader)

    def these(
        self, keys: Sequence[str], *, known: int | None = None, reader: Reader = PUBLIC
    ) -> State:
        """The state of these records alone, closed as in the state of the whole."""
        return self._few(self.store.get(keys, known), known, reader)

    def all_of(
        self, *kinds: str, known: int | None = None, reader: Reader = PUBLIC
    ) -> State:
        """The state of all records of some kinds alone, closed as in that of the whole."""
        found = [one for kind in kinds for one in self.store.of_kind(kind, known)]
        return self._few(found, known, reader)

    def latest(
        self, kind: str, most: int, *, known: int | None = None, reader: Reader = PUBLIC
    ) -> State:
        """The same for so many records of a kind: those recorded last, in that order."""
        gone = self._gone(known, reader)
        found = self.store.latest(kind, most + len(gone), known)
        seen = [one for one in found if one.key not in gone]
        return self._few(seen[-most:], known, reader)

    def count_of(
        self, kind: str, *, known: int | None = None, reader: Reader = PUBLIC
    ) -> int:
        """How many records of a kind stand, as far as a reader may know of them."""
        gone = self.store.get(sorted(self._gone(known, reader)), known)
        silent = sum(one.kind == kind for one in gone)
        return self.store.tally(known).get(kind, 0) - silent

    def known_of(
        self, keys: Sequence[str], known: int | None = None, reader: Reader = PUBLIC
    ) -> set[str]:
        """Those of some keys of which a reader may know that they are there."""
        return set(keys) - self._gone(known, reader)

    def _few(self, found: Sequence[Stated], known: int | None, reader: Reader) -> State:
        gone = self._gone(known, reader)
        return closed_few(self.store, found, gone, known, reader)

    def _gone(self, known: int | None, reader: Reader) -> frozenset[str]:
        """What is withheld from a reader; kept until something is recorded."""
        mark = (self.store.head().seq, known, reader)
        kept = self._withheld
        if kept is None or kept[0] != mark:
            kept = self._withheld = (mark, withheld(self.store, reader, known))
        return kept[1]

    def changed(
        self,
        since: int,
        within: str | None = None,
        *,
        known: int | None = None,
        reader: Reader = PUBLIC,
    ) -> Changes:
        """What was recorded after a moment, as far as a reader may know of it."""
        return walk_changes(self.store, since, known, reader, within)

    def _readable(
        self, found: Sequence[Stated], known: int | None, reader: Reader
    ) -> tuple[list[Held], list[Stated]]:
        """These records with their cautions; and those whose words the reader may see."""
        gone = self._gone(known, reader)
        found = [one for one in found if one.key not in gone]
        keys = [one.key for one in found]
        warned = self.store.edges(keys, ["warns of"], "in", known=known)
        warnings = self.store.get(sorted({edge.src for edge in warned}), known)
        held = read_held([*found, *warnings])
        hidden = closed_content(held) | (
            closed_now(self.store, keys) if known is not None else {}
        )
        return held, [one for one in found if reader.may_read(hidden.get(one.key))]

    def _holding(self, keys: Sequence[str], known: int | None) -> list[Stated]:
        """Records that say where things are and what they carry, in a few reads."""
        keys = [*keys, *suspected(self.store, keys, known)]
        parents = self.store.walk(
            keys, sorted(HOME_WORDS | {"part of", "prepared from"}), "out", known=known
        )
        things = sorted({*outwards(self.store, keys, known), *_ends(parents)})
        looks = self.store.edges(things, list(LOOKED_AT), "in", known=known)
        records = {*things, *(edge.src for edge in looks)}
        beyond = self.store.edges(sorted(records), None, "out", known=known)
        return self.store.get(sorted({*records, *(edge.dst for edge in beyond)}), known)

    def objects(self, *, known: int | None = None, reader: Reader = PUBLIC) -> State:
        """Every object by its own record, with all cautions."""
        return self.all_of(MuseumObject.kind, Caution.kind, known=known, reader=reader)

    def lists(self, *, known: int | None = None, reader: Reader = PUBLIC) -> State:
        """Roles, materials and batches, with all cautions: what forms choose from."""
        kinds = (Role.kind, Material.kind, Batch.kind, Caution.kind)
        return self.all_of(*kinds, known=known, reader=reader)

    def _state(self, stated: Iterable[Stated], known: int | None, reader: Reader) -> State:
        """Closed by what is closed now, also where the view is an earlier one."""
        held = read_held(stated)
        since = (
            closed_now(self.store, [one.key for one in held]) if known is not None else {}
        )
        return State(open_to(reader, held, since), known)


def _ends(edges: Iterable[Edge]) -> set[str]:
    return {key for edge in edges for key in (edge.src, edge.dst)}
