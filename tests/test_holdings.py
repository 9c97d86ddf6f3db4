"""What the start page lists equals what the whole archive says, on random archives."""

from collections import Counter
from pathlib import Path

import pytest
from random_archive import random_archive

from vestige.graph.collection import Collection
from vestige.graph.ledger import State as Statement
from vestige.graph.record import Element, KeptPart, MuseumObject, Question, Sample
from vestige.graph.state import Reader
from vestige.ui.page.desk import Desk, Shelf
from vestige.ui.page.holdings import (
    MOST_LISTED,
    count_of,
    elements_and_taken,
    last_objects,
    open_questions,
)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("role", [None, "registrar"])
def test_the_lists_say_what_the_whole_archive_says(seed: int, role: str | None) -> None:
    archive = random_archive(seed, rounds=3)
    desk = Desk(archive, Reader(role), None, Shelf())
    whole = archive.whole(reader=desk.reader)
    objects = list(whole.all_of(MuseumObject))
    assert last_objects(desk) == objects
    elements, taken = elements_and_taken(desk, [key for key, _ in objects])
    assert elements == Counter(one.object for _, one in whole.all_of(Element))
    homes: Counter[str] = Counter()
    for kind in (KeptPart, Sample):
        for key, _ in whole.all_of(kind):
            end = key
            while isinstance(one := whole.held(end).record, (KeptPart, Sample, Element)):
                end = one.object if isinstance(one, Element) else one.element
            homes[end] += 1
    assert taken == homes
    _, still = open_questions(desk)
    assert still == [pair for pair in whole.all_of(Question) if not pair[1].answered]


def test_of_many_questions_the_last_open_ones_are_listed(tmp_path: Path) -> None:
    with Collection.create(tmp_path) as archive:
        acts = [Statement("object", "O", {"number": "O", "name": "box"})]
        for n in range(300):
            body: dict[str, object] = {
                "number": f"Q{n}", "asked": f"what is {n}?", "about": ["O"],
            }  # fmt: skip
            acts.append(
                Statement(
                    "question", f"Q{n}", body | ({"answered": "yes"} if n > 20 else {})
                )
            )
        archive.record("conservator", acts)
        desk = Desk(archive, Reader(), None, Shelf())
        _, still = open_questions(desk)
        assert [one.number for _, one in still] == [f"Q{n}" for n in range(21)]
        assert len(still) < MOST_LISTED < count_of(desk, "question") == 300
