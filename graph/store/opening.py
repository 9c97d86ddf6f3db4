"""Open the store that a text names: a file of this machine, or an archive on a server."""

import re
import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from ..errors import ArchiveUnusable
from .contract import Store

if TYPE_CHECKING:
    from .neo4j_tables import Tables

_ADDRESS = re.compile(r"(neo4j|bolt)(\+s|\+ssc)?:/{1,2}(?=[^/])")


def is_address(place: str | Path) -> bool:
    """Whether this is the address of a server, also where a path has eaten a slash.

    >>> is_address("neo4j://localhost/workshop"), is_address("workshop")
    (True, False)
    """
    return _ADDRESS.match(str(place).replace("\\", "/")) is not None


SERVER_FILE = "server.toml"
"""In the folder of an archive whose ledger is on a server: ``address = "neo4j://..."``."""


def server_of(folder: str | Path) -> str | None:
    """The address of the server that a folder names for its ledger; None where it has none.

    Accounts, the view log and pictures of such an archive are in the folder as ever.

    Raises:
        ArchiveUnusable: where the folder names one in a way that cannot be read.
    """
    file = Path(folder) / SERVER_FILE
    if is_address(folder) or not file.is_file():
        return None
    try:
        address = tomllib.loads(file.read_text("utf-8")).get("address")
    except (OSError, ValueError) as error:
        raise ArchiveUnusable(f"{file} cannot be read: {error}") from error
    if not isinstance(address, str) or not is_address(address):
        raise ArchiveUnusable(
            f'{file} names no server; write one line: address = "neo4j://HOST/NAME"'
        )
    return address


def on_server(place: str | Path, clock: Callable[[], int] | None = None) -> Store:
    """The archive at the address of a server; the settings are read from the environment.

    Raises:
        ArchiveUnusable: where the driver is not installed, or as `Neo4jStore` says.
        BadValue: where the address cannot be read.
    """
    with _the_driver():
        from .neo4j_store import Neo4jStore
    address = _mended(place)
    return Neo4jStore(address, clock=clock) if clock else Neo4jStore(address)


def tables_for(place: str | Path, source: Store, folder: Path) -> "Tables":
    """Write an archive as tables for the importer of the server at an address.

    Raises:
        As `on_server` and `neo4j_tables.write_tables` do; the server is not asked.
    """
    with _the_driver():
        from .neo4j_server import Address
        from .neo4j_tables import write_tables
    from ..record import fold_number
    from ..state import HOME_WORDS, change_of
    from .derive import Reading

    reading = Reading(change_of, HOME_WORDS, fold_number)
    return write_tables(source, folder, Address.read(_mended(place)).archive, reading)


@contextmanager
def _the_driver() -> Iterator[None]:
    """Say in a sentence what lacks where an import needs the driver and it is not there."""
    try:
        yield
    except ModuleNotFoundError as error:
        if error.name != "neo4j":
            raise
        raise ArchiveUnusable(
            "archives on a server need the driver: install vestige[neo4j]"
        ) from None


def _mended(place: str | Path) -> str:
    """The address with both its slashes, where a path has eaten one."""
    text = str(place).replace("\\", "/")
    return _ADDRESS.sub(lambda found: found[0].rstrip("/") + "//", text)
