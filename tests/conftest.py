"""How the tests run: hypothesis profiles, and the stores that every contract test meets."""

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from small_archive import Clock

    from vestige.graph.store import Store
    from vestige.ui.page import Desk

settings.register_profile(
    "default",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
settings.register_profile("ci", parent=settings.get_profile("default"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "default")

STORES = ["sqlite-memory", "sqlite-file", "neo4j"]
"""Kinds of store; every test of the contract runs on each."""


RUN = "VESTIGE_NEO4J_RUN"
"""Folder of the Neo4j server that all workers of one run share."""

ON_SERVER = ("server", "Neo4j")
"""Property of a test that a Neo4j server answers."""


def pytest_configure(config: pytest.Config) -> None:
    """Name the folder before the workers begin."""
    if not hasattr(config, "workerinput"):
        os.environ[RUN] = str(Path(tempfile.gettempdir()) / f"vestige-{uuid4().hex}")


def pytest_unconfigure(config: pytest.Config) -> None:
    """End the server when the last worker has ended."""
    if not hasattr(config, "workerinput") and Path(os.environ[RUN]).exists():
        from graph_server import end

        end(Path(os.environ[RUN]))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark which tests need a server, so that they can be counted at the end."""
    for item in items:
        named = {"neo4j_url", "server"} & set(getattr(item, "fixturenames", ()))
        callspec = getattr(item, "callspec", None)
        if named or (callspec and callspec.params.get("new_store") == "neo4j"):
            item.user_properties.append(ON_SERVER)


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Say how many tests a real server answered, or what would make it answer."""
    told = terminalreporter.stats
    ran, left = (
        [one for one in told.get(how, ()) if ON_SERVER in one.user_properties]
        for how in ("passed", "skipped")
    )
    if ran:
        terminalreporter.write_line(f"{len(ran)} tests ran on a Neo4j server")
    if left:
        from graph_server import what_lacks

        terminalreporter.write_line(
            f"{len(left)} tests on a Neo4j server did not run: {what_lacks()}; then run"
            " the tests again"
        )


def need_neo4j() -> None:
    """Skip where no server can be started; in CI that is an error."""
    from graph_server import what_lacks

    lacks = what_lacks()
    if lacks is not None and os.environ.get("CI"):
        pytest.fail(f"CI runs the tests on a Neo4j server: {lacks}")
    if lacks is not None:
        pytest.skip(f"on a Neo4j server: {lacks}")


@pytest.fixture(scope="session")
def neo4j_url() -> str:
    """Address of the Neo4j server of this run; user and password are set."""
    from graph_server import PASSWORD, USER, shared

    need_neo4j()
    os.environ |= {"VESTIGE_NEO4J_USER": USER, "VESTIGE_NEO4J_PASSWORD": PASSWORD}
    return shared(Path(os.environ[RUN]))


@pytest.fixture(scope="session")
def recorded_museum(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder with the invented museum, recorded once in a run; only to be copied."""
    from vestige.demo import build
    from vestige.graph.collection import Collection

    home = tmp_path_factory.mktemp("recorded") / "archive"
    with Collection.create(home) as collection:
        build(collection)
    return home


@pytest.fixture(scope="module")
def museum(recorded_museum: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder with the invented museum, a copy for the tests of one file."""
    return shutil.copytree(recorded_museum, tmp_path_factory.mktemp("museum") / "archive")


@pytest.fixture
def desk(museum: Path, tmp_path: Path) -> "Iterator[Desk]":
    """A desk on an archive of its own, to record into."""
    from vestige.graph.collection import Collection
    from vestige.ui.page import Desk, Shelf

    home = Path(shutil.copytree(museum, tmp_path / "own"))
    with Collection.open(home) as collection:
        yield Desk.on(collection, None, None, Shelf())


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
    from vestige.graph.store.neo4j_store import Neo4jStore

    made: list[Store] = []
    kind: Callable[..., Store] = SqliteStore
    url = ""
    if request.param == "neo4j":
        kind, url = Neo4jStore, request.getfixturevalue("neo4j_url")

    def new(clock: Callable[[], int] | None = None) -> "Store":
        place = f"{url}/t{uuid4().hex}" if url else ":memory:"
        if request.param == "sqlite-file":
            place = str(tmp_path / f"archive {len(made)}.vestige")
        made.append(
            kind(
                place,
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
