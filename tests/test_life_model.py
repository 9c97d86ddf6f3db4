"""Random lawful and unlawful acts against a small reference that knows nothing of records.

The reference is a dictionary of places and one of stages, written here afresh; what the
archive reads from its records must agree with it after every step.
"""

from typing import Final

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from vestige.graph.collection import Collection
from vestige.graph.keeping import life, whereabouts
from vestige.graph.ledger import State as Say
from vestige.graph.record import (
    Became,
    Claim,
    Container,
    Edtf,
    Element,
    ElementSort,
    Fate,
    KeptPart,
    KeyMaker,
    Move,
    MuseumObject,
    Place,
    Record,
    Relation,
    Sample,
    Seen,
    Sighting,
    Status,
    Strength,
    iso,
)
from vestige.graph.store import SqliteStore

ROOMS = ("ROOM-1", "ROOM-2")
BOXES = ("BOX-1", "BOX-2", "BOX-3")
THINGS = (*BOXES, "PART-1", "PART-2", "VIAL")
PARTS = ("PART-1", "PART-2")
OVER = ("divided", "consumed", "discarded with authority", "discarded without record")
CAN: Final[dict[str, tuple[str, ...]]] = {
    "removed and kept": ("put back", "on loan", "at the laboratory", "consumed",
                         "discarded with authority", "discarded without record", "missing"),
    "found": ("put back", "on loan", "at the laboratory", "consumed",
              "discarded with authority", "discarded without record", "missing"),
    "put back": ("removed again", "moved within the object"),
    "moved within the object": ("removed again", "moved within the object"),
    "on loan": ("returned", "missing", "discarded without record"),
    "at the laboratory": ("returned", "missing", "put back", "consumed",
                          "discarded without record"),
    "whereabouts not recorded": ("missing", "found", "discarded without record"),
    "missing": ("found", "discarded without record"),
    **dict.fromkeys(OVER, ("found",)),
}  # fmt: skip
"""What each stage lets a thing become (common practice, no source)."""
LEADS = {
    "returned": "removed and kept",
    "removed again": "whereabouts not recorded",
}
FIRST_DAY = 15_000  # 2011-01-26


def world() -> dict[str, Record]:
    """Two rooms, nested boxes, two documented parts and a vial, all invented."""
    day = Edtf.parse("2010-05-01")

    def part(number: str, element: str) -> KeptPart:
        return KeptPart(
            number=number, element=element, removed_when=day, reason="loose", consent="C",
            original_position="left", container="BOX-1", label_text=number,
            review=Edtf.parse("2035"),
        )  # fmt: skip

    kept = {"sort": ElementSort.PART, "object": "OBJ"}
    return {
        "OBJ": MuseumObject(number="OBJ", name="box"),
        "E1": Element(number="E1", name="hinge", status=Status.KEPT, **kept),
        "E2": Element(number="E2", name="lid", status=Status.IN_PLACE, **kept),
        "ROOM-1": Place(number="ROOM-1"),
        "ROOM-2": Place(number="ROOM-2"),
        "BOX-1": Container(number="BOX-1", inside="ROOM-1"),
        "BOX-2": Container(number="BOX-2", inside="ROOM-1"),
        "BOX-3": Container(number="BOX-3", inside="BOX-2"),
        "PART-1": part("PART-1", "E1"),
        "PART-2": part("PART-2", "E2"),
        "VIAL": Sample(number="VIAL", element="PART-2", taken_when=day, container="BOX-3"),
        "SAID": Claim(number="SAID", about="E1", relation=Relation.AS_MADE,
                      strength=Strength.STRONG),
    }  # fmt: skip


class Registrar(RuleBasedStateMachine):
    """Acts as they come, checked against the reference."""

    steps = 0

    def __init__(self) -> None:
        super().__init__()
        self.collection = Collection(SqliteStore(":memory:"), keys=KeyMaker(seed=7))
        says = [Say(one.kind, key, one.body()) for key, one in world().items()]
        self.collection.record("registrar", says)
        self.day = FIRST_DAY
        self.place: dict[str, str | None] = {
            "BOX-1": "ROOM-1", "BOX-2": "ROOM-1", "BOX-3": "BOX-2",
            "PART-1": "BOX-1", "PART-2": "BOX-1", "VIAL": "BOX-3",
        }  # fmt: skip
        self.stage = dict.fromkeys(THINGS, "removed and kept")

    def teardown(self) -> None:
        self.compare()
        self.collection.store.close()

    def way(self, thing: str) -> list[str]:
        """Holders of a thing from the nearest outwards."""
        found: list[str] = []
        step = self.place.get(thing)
        while step is not None:
            found.append(step)
            step = self.place.get(step)
        return found

    def act(self, record: Record, lawful: bool) -> None:
        before = self.collection.store.head()
        problems, receipt = self.collection.act("registrar", [record])
        assert (receipt is not None) == lawful, (record, [str(one) for one in problems])
        if not lawful:
            assert self.collection.store.head() == before
            refusal = [one for one in problems if one.weight == "error"]
            assert all(one.wrong and one.right for one in refusal)

    def next_day(self) -> Edtf:
        Registrar.steps += 1
        self.day += 1
        return Edtf.parse(iso(self.day))

    def holds_itself(self, thing: str, holder: str) -> bool:
        return thing in (holder, *self.way(holder))

    @rule(
        thing=st.sampled_from(THINGS),
        to=st.sampled_from((*ROOMS, *BOXES)),
        origin=st.sampled_from((None, None, *ROOMS, *BOXES)),
    )
    def move(self, thing: str, to: str, origin: str | None) -> None:
        on_object = ("put back", "moved within the object")
        way = self.way(thing)
        lawful = self.stage[thing] not in (*OVER, *on_object)
        lawful = lawful and not self.holds_itself(thing, to)
        lawful = lawful and (origin is None or not way or origin in way)
        self.act(Move(what=(thing,), to=to, origin=origin, when=self.next_day()), lawful)
        if lawful:
            self.place[thing] = to
            if self.stage[thing] in ("missing", "whereabouts not recorded", "found"):
                self.stage[thing] = "removed and kept"

    @rule(thing=st.sampled_from(THINGS), where=st.sampled_from((None, *ROOMS, *BOXES)))
    def see(self, thing: str, where: str | None) -> None:
        lawful = where is None or not self.holds_itself(thing, where)
        look = Sighting(what=thing, seen=Seen.SEEN, where=where, when=self.next_day())
        self.act(look, lawful)
        if not lawful:
            return
        if where is not None and where not in self.way(thing):
            self.place[thing] = where
        first = self.stage[thing] == "whereabouts not recorded" and where is not None
        if first or self.stage[thing] in (*OVER, "missing"):
            self.stage[thing] = "found"

    @rule(thing=st.sampled_from(THINGS))
    def miss(self, thing: str) -> None:
        self.act(Sighting(what=thing, seen=Seen.NOT_SEEN, when=self.next_day()), True)
        if self.stage[thing] in ("removed and kept", "found"):
            self.stage[thing] = "missing"

    @rule(thing=st.sampled_from(THINGS))
    def list_it(self, thing: str) -> None:
        """A list printed from records changes nothing."""
        self.act(Sighting(what=thing, seen=Seen.LISTED, when=self.next_day()), True)

    @rule(
        thing=st.sampled_from(THINGS),
        became=st.sampled_from([one for one in Became if one is not Became.DIVIDED]),
    )
    def become(self, thing: str, became: Became) -> None:
        word = str(became)
        lawful = word in CAN[self.stage[thing]]
        if word in ("put back", "removed again", "moved within the object"):
            lawful = lawful and thing in PARTS
        if word == "consumed":
            lawful = lawful and thing not in BOXES
        if word == "discarded with authority":
            lawful = lawful and not self.depended_on(thing)
        fate = Fate(what=(thing,), became=became, when=self.next_day(), authority="C",
                    why="w")  # fmt: skip
        self.act(fate, lawful)
        if lawful:
            self.stage[thing] = LEADS.get(word, word)
            if word == "put back":
                self.place[thing] = None

    def depended_on(self, thing: str) -> bool:
        """A claim stands on PART-1; the vial was drawn from PART-2; boxes hold things."""
        if thing == "PART-1":
            return True
        if thing == "PART-2":
            return self.stage["VIAL"] not in OVER
        gone = (*OVER, "put back")
        return any(
            self.place[one] == thing and self.stage[one] not in gone for one in THINGS
        )

    @precondition(lambda self: self.day > FIRST_DAY)
    @rule(thing=st.sampled_from(PARTS))
    def too_early(self, thing: str) -> None:
        """Nothing can be moved before it came off."""
        early = Edtf.parse("1999")
        self.act(Move(what=(thing,), to="ROOM-1", when=early), False)

    @invariant()
    def the_archive_agrees(self) -> None:
        """At every fifth step and at the end; what went wrong between stays wrong."""
        if (self.day - FIRST_DAY) % 5 == 0:
            self.compare()

    def compare(self) -> None:
        state = self.collection.kept_things()
        for thing in THINGS:
            now, where = life(state, thing), whereabouts(state, thing)
            assert now.stage == self.stage[thing], thing
            nearest = where.holders[0].holder if where.holders else None
            assert nearest == self.place[thing], thing
            assert where.doubles == (), "a thing in two places"
            assert now.stage is not None, "a thing without a last known state"
            shown = where.gone is not None
            assert shown == (now.stage in (*OVER, "put back")), thing


TestRegistrar = Registrar.TestCase
TestRegistrar.settings = settings(
    max_examples=50,
    stateful_step_count=80,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)


def test_thousands_of_steps_were_taken() -> None:
    assert Registrar.steps == 0 or Registrar.steps > 2_000, Registrar.steps
