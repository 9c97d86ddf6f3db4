"""A few records are closed as the whole archive closes them, on random archives.

The whole archive read and closed at once is the older way, tested for itself in
test_access.py and test_withholding.py; here it is what the quick way has to equal.
"""

import pytest
from random_archive import MOMENTS, random_archive

from vestige.graph.collection import Collection
from vestige.graph.ledger import State as Statement
from vestige.graph.record import Caution, CautionSort
from vestige.graph.state import PUBLIC, Reader, State

DAY = 86_400_000
READERS = (PUBLIC, Reader("registrar"), Reader("elders"))


def _hushed(seed: int) -> Collection:
    """A random archive in which three things are kept silent about, one of them later."""
    archive = random_archive(seed, rounds=3)
    kinds = ("element", "object", "source", "part", "question", "container")
    for place in range(3):
        kind = kinds[(seed + place) % len(kinds)]
        about = archive.store.of_kind(kind)
        if not about:
            continue
        caution = Caution(
            number=f"hush-{place}",
            sort=CautionSort.RESTRICTION,
            about=(about[seed % len(about)].key,),
            what="kept by the elders",
            ask="elders",
            hide=True,
            silent=place != 2,
        )
        key = archive.keys.new()
        archive.record("registrar", [Statement(caution.kind, key, caution.body())])
    return archive


def _told(state: State) -> dict[str, object]:
    return {key: (state.held(key).record, state.held(key).seq) for key in state}


@pytest.mark.parametrize("seed", range(12))
def test_a_few_records_are_closed_as_in_the_whole(seed: int) -> None:
    archive = _hushed(seed)
    hidden = 0
    for reader in READERS:
        for known in (None, MOMENTS + 10 * DAY, MOMENTS + 40 * DAY):
            whole = archive.whole(known=known, reader=reader)
            stands = archive.store.tally(known)
            told = _told(whole)
            hidden += sum(stands.values()) - len(whole)
            for kind in stands:
                of_kind = {k: v for k, v in told.items() if v[0].kind == kind}  # type: ignore[index]
                few = archive.all_of(kind, known=known, reader=reader)
                assert _told(few) == of_kind
                last = archive.latest(kind, 2, known=known, reader=reader)
                assert _told(last) == dict(list(of_kind.items())[-2:])
                count = archive.count_of(kind, known=known, reader=reader)
                assert count == len(of_kind)
            for key in list(told)[::7]:
                alone = archive.these([key], known=known, reader=reader)
                assert _told(alone) == {key: told[key]}
    assert hidden > 0  # else nothing was tried


def test_what_is_withheld_follows_what_is_recorded() -> None:
    archive = random_archive(3)
    [first, *_] = archive.store.of_kind("object")
    assert first.key in archive.all_of("object")
    caution = Caution(
        number="hush", sort=CautionSort.RESTRICTION, about=(first.key,), what="closed",
        ask="elders", hide=True, silent=True,
    )  # fmt: skip
    archive.record("registrar", [Statement("caution", "Z1", caution.body())])
    assert first.key not in archive.all_of("object")
    assert first.key in archive.all_of("object", reader=Reader("elders"))
