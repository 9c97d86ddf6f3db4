"""How the tests run: hypothesis profiles, and the stores that every contract test meets."""

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from small_archive import Clock

    from vestige.graph.store import Store

settings.register_profile(
    "default",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
settings.register_profile("ci", parent=settings.get_profile("default"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "default")

STORES = ["sqlite-memory", "sqlite-file"]
"""Kinds of store; every test of the contract runs on each."""


@pytest.fixture
def clock() -> "Clock":
    """A record time that goes on by a second each time it is read."""
    from small_archive import Clock

    return Clock()


@pytest.fixture(params=STORES)
def new_store(
    request: pytest.FixtureRequest, tmp_path: Path
) -> Iterator[Callable[..., "Store"]]:
    """Make another empty store of the kind under test, all with the same first time."""
    from small_archive import HOME, Clock, change_of, fold

    from vestige.graph.store import SqliteStore

    made: list[Store] = []

    def new(clock: Callable[[], int] | None = None) -> "Store":
        path = ":memory:"
        if request.param == "sqlite-file":
            path = str(tmp_path / f"archive {len(made)}.vestige")
        made.append(
            SqliteStore(
                path,
                change_of=change_of,
                home_words=HOME,
                fold=fold,
                clock=clock or Clock(),
            )
        )
        return made[-1]

    yield new
    for one in made:
        one.close()


@pytest.fixture
def store(new_store: Callable[..., "Store"]) -> "Store":
    """An empty store of the kind under test."""
    return new_store()
