"""An invented chest, said over several days, for tests of what is open and what moved."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from vestige.graph.collection import Collection
from vestige.graph.ledger import State as Say
from vestige.graph.ledger import Withdraw
from vestige.graph.record import (
    Caution,
    CautionSort,
    Choice,
    Claim,
    Decision,
    Edtf,
    Element,
    ElementSort,
    MuseumObject,
    Phase,
    Question,
    Record,
    Relation,
    Result,
    Sample,
    Scope,
    Source,
    SourceKind,
    Span,
    Stance,
    Strength,
)

DAY = 86_400_000
FIRST = 18_628  # 2021-01-01, days since 1970-01-01
PART, FIXING, LAYER = ElementSort.PART, ElementSort.FIXING, ElementSort.LAYER
FOR, AGAINST = Stance.FOR, Stance.AGAINST
SECRET = "the name that is not said"
ASK = "community liaison"


class Days:
    """Record time at noon of a day that the test sets."""

    def __init__(self) -> None:
        self.day = 0

    def __call__(self) -> int:
        return (FIRST + self.day) * DAY + DAY // 2


@contextmanager
def opened(folder: Path) -> Iterator["Chest"]:
    """The chest, let go of afterwards."""
    chest = Chest(folder)
    with chest.collection:
        yield chest


class Chest:
    """The archive, and a short way to say things on a day (counted from 2021-01-01)."""

    def __init__(self, folder: Path) -> None:
        self.days = Days()
        self.collection = Collection.create(folder / "archive", clock=self.days)
        self.say(0, **base())

    def say(self, day: int, **records: Record) -> None:
        """State records under keys, in place of what stands there."""
        self.days.day = day
        acts = []
        for key, record in records.items():
            version = self.collection.store.version(key)
            why = "read again" if version else ""
            acts.append(Say(record.kind, key, record.body(), version or None, why))
        self.collection.record("conservator", acts)

    def withdraw(self, day: int, key: str, why: str) -> None:
        """Withdraw what stands under a key."""
        self.days.day = day
        version = self.collection.store.version(key)
        self.collection.record("registrar", [Withdraw(key, version, why)])


def claim(number: str, about: str, relation: Relation, **more: object) -> Claim:
    """A claim; strong and by the examiner where nothing else is said."""
    said: Mapping[str, object] = {"strength": Strength.STRONG, "source": "LOOK", **more}
    return Claim.model_validate(
        {"number": number, "about": about, "relation": relation, **said}
    )


def base() -> dict[str, Record]:
    """The chest as first recorded: body, lid, hinges, varnish, one sample of it."""
    body = Element(number="CH-1", object="OBJ", name="body", sort=PART, core=True,
                   material="oak")  # fmt: skip
    lid = Element(number="CH-2", object="OBJ", name="lid", sort=PART, held_by=("HINGE",))
    hinge = Element(number="CH-3", object="OBJ", name="hinges", sort=FIXING,
                    material="iron")  # fmt: skip
    coat = Element(number="CH-4", object="OBJ", name="varnish", sort=LAYER)
    return {
        "OBJ": MuseumObject(number="X.7", name="chest"),
        "PHASE1": Phase(number="X.7/P1", object="OBJ", order=1, name="making",
                    span=Span.MAKING, begins=Edtf("1700"), ends=Edtf("1720")),
        "PHASE2": Phase(number="X.7/P2", object="OBJ", order=2, name="use", span=Span.USE,
                    begins=Edtf("1720"), ends=Edtf("1900")),
        "PHASE3": Phase(number="X.7/P3", object="OBJ", order=3, name="museum",
                    span=Span.MUSEUM, begins=Edtf("1900"), ends=Edtf("2000")),
        "BODY": body, "LID": lid, "HINGE": hinge, "COAT": coat,
        "LOOK": Source(number="S-1", name="examination", sort=SourceKind.EXAMINATION,
                       dated=Edtf("2020")),
        "BOOK": Source(number="S-2", name="day-book", sort=SourceKind.RECORD,
                       dated=Edtf("1950")),
        "C1": claim("O-1", "LID", Relation.AS_MADE),
        "C2": claim("O-2", "COAT", Relation.LIES_OVER, other="LID"),
        "V1": Sample(number="V1", element="COAT", name="varnish"),
        "D1": Decision(number="D-1", about=("LID",), choice=Choice.KEEP,
                       reason="it is the first lid", by="conservator",
                       when=Edtf("2021-01-01"), rests_on=("C1",),
                       assessment_said="original"),
    }  # fmt: skip


def secret_claim(number: str = "O-9", about: str = "HINGE") -> Claim:
    """A strong claim whose content is closed by `closing`."""
    return claim(
        number, about, Relation.PLACED_IN, phase="PHASE3", note=SECRET, rival=SECRET
    )


def closing(*keys: str) -> Caution:
    """A restriction that closes the content of some records."""
    return Caution(number="R-1", about=keys, sort=CautionSort.RESTRICTION,
                   what="content is closed", ask=ASK, hide=True)  # fmt: skip


def no_sample(*keys: str) -> Caution:
    """A restriction against sampling."""
    return Caution(
        number="R-2",
        about=keys,
        sort=CautionSort.RESTRICTION,
        what="nothing may be taken",
        ask=ASK,
        forbids=(Scope.SAMPLE,),
    )


def result(number: str, of: str, method: str) -> Result:
    return Result(number=number, of=of, method=method, found="shellac")


def asked(number: str, *about: str, settle: str | None = None) -> Question:
    return Question(number=number, about=about, asked="whose hand?", would_settle=settle)
