"""Open the store that a text names: a file of this machine, or an archive on a server."""

import re
from collections.abc import Callable
from pathlib import Path

from ..errors import ArchiveUnusable
from .contract import Store

_ADDRESS = re.compile(r"(neo4j|bolt)(\+s|\+ssc)?:/{1,2}(?=[^/])")


def is_address(place: str | Path) -> bool:
    """Whether this is the address of a server, also where a path has eaten a slash.

    >>> is_address("neo4j://localhost/workshop"), is_address("workshop")
    (True, False)
    """
    return _ADDRESS.match(str(place).replace("\\", "/")) is not None


def on_server(place: str | Path, clock: Callable[[], int] | None = None) -> Store:
    """The archive at the address of a server; the settings are read from the environment.

    Raises:
        ArchiveUnusable: where the driver is not installed, or as `Neo4jStore` says.
        BadValue: where the address cannot be read.
    """
    try:
        from .neo4j_store import Neo4jStore
    except ModuleNotFoundError as error:
        if error.name != "neo4j":
            raise
        raise ArchiveUnusable(
            "archives on a server need the driver: install vestige[neo4j]"
        ) from None
    text = str(place).replace("\\", "/")
    address = _ADDRESS.sub(lambda found: found[0].rstrip("/") + "//", text)
    return Neo4jStore(address, clock=clock) if clock else Neo4jStore(address)
