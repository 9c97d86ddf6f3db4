"""A read as known at a time answers as an archive of the ledger up to then would."""

from typing import Any

from hypothesis import given, settings
from random_batches import KEYS, Programme, answers, new, programmes, run
from small_archive import fold


@given(programme=programmes)
@settings(max_examples=40)
def test_as_known_then_is_what_the_ledger_gave_by_then(
    programme: Programme,
) -> None:
    with run(programme) as store:
        entries = list(store.entries())
        for then in sorted({entry.at for entry in entries} | {999}):
            with new() as prefix:
                prefix.take(entry for entry in entries if entry.at <= then)
                assert list(answers(store, then)) == list(answers(prefix, None))
        assert list(answers(store, None)) == list(answers(store, store.head().at))


@given(programme=programmes)
@settings(max_examples=40)
def test_what_is_derived_batch_by_batch_is_what_a_rebuild_gives(
    programme: Programme,
) -> None:
    with run(programme) as store:
        before = list(answers(store, None))
        assert store.verify(deep=True).faults == ()
        store.rebuild()
        assert list(answers(store, None)) == before
        assert store.verify(deep=True).faults == ()


@given(programme=programmes)
@settings(max_examples=40)
def test_the_rules_of_the_archive_hold_after_any_batches(
    programme: Programme,
) -> None:
    with run(programme) as store:
        standing = {one.key: one for one in store.get(KEYS)}
        for edge in store.edges(KEYS):
            named = {edge.src, edge.dst, edge.record, edge.source or edge.src}
            assert named <= standing.keys()
        names: list[Any] = [one.body.get("names") for one in standing.values()]
        current = [fold(some[0]) for some in names if some]
        assert len(current) == len(set(current))
