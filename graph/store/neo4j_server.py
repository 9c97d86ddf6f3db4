"""The way to a Neo4j server: its address and settings, transactions, plain errors.

The address is ``neo4j://`` or ``bolt://``, with ``+s`` for TLS under a certificate of a
public authority: ``neo4j+s://graph.example.org:7687/ARCHIVE``. What comes after the slash
names the archive on the server, ``vestige`` where nothing does. User and password never
stand in the address and are never kept in an archive; they are read from the environment.
"""

import os
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any, Final, Self, TypeVar
from urllib.parse import urlsplit

from neo4j import (
    WRITE_ACCESS,
    Driver,
    GraphDatabase,
    ManagedTransaction,
    Result,
    RoutingControl,
    Session,
    Transaction,
    TrustCustomCAs,
)
from neo4j.exceptions import (
    AuthError,
    ConfigurationError,
    DriverError,
    IncompleteCommit,
    Neo4jError,
    ServiceUnavailable,
    SessionExpired,
)

from ..errors import ArchiveUnusable, BadValue

_T = TypeVar("_T")

SCHEMES: Final = ("neo4j", "neo4j+s", "neo4j+ssc", "bolt", "bolt+s", "bolt+ssc")
USER, PASSWORD = "VESTIGE_NEO4J_USER", "VESTIGE_NEO4J_PASSWORD"
DATABASE, CERTIFICATE = "VESTIGE_NEO4J_DATABASE", "VESTIGE_NEO4J_CERTIFICATE"
PATIENCE = "VESTIGE_NEO4J_PATIENCE"
FLOOR: Final = (5, 26, 30)
"""The first version that is supported; 5.26.0 gives relationships wrong types."""

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,62}")
_HALF = "TransactionCommitFailed"
"""In the error of a server that has written a transaction to its log, but no further."""
_FULL = re.compile(r"no space left|disk.{0,20}full|not enough space", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Address:
    """Where a server is, which archive on it is meant, and how one is let in.

    Attributes:
        url: address of the server alone.
        archive: name of the archive on it.
        user: who asks; None where the server asks nobody.
        password: never shown, never kept.
        database: database of the server; None for its usual one.
        certificate: file with the certificate to trust; None for the system's.
        patience: seconds to go on trying after a fault that may pass.
    """

    url: str
    archive: str
    user: str | None = None
    password: str = field(default="", repr=False)
    database: str | None = None
    certificate: str | None = None
    patience: float = 30.0

    @classmethod
    def read(cls, text: str, settings: Mapping[str, str] | None = None) -> Self:
        """Read an address and the settings that go with it.

        Args:
            text: such as ``"neo4j://localhost:7687/workshop"``.
            settings: environment variables; None for those of this process.

        Raises:
            BadValue: for another scheme, a password in the address, a name that an
                archive cannot have, or a patience that is not a number of seconds.
        """
        given = os.environ if settings is None else settings
        parts = urlsplit(text)
        if parts.scheme not in SCHEMES:
            raise BadValue(f"{text!r} is no address of a server; write neo4j://HOST/NAME")
        if parts.username or parts.password:
            raise BadValue(
                f"an address must not hold a user or a password, it ends up in logs; set"
                f" {USER} and {PASSWORD} in the environment"
            )
        archive = parts.path.strip("/") or "vestige"
        if not _NAME.fullmatch(archive):
            raise BadValue(
                f"{archive!r} cannot be the name of an archive on a server: letters,"
                " digits, dot, dash and underscore, at most 63"
            )
        return cls(
            url=f"{parts.scheme}://{parts.netloc}",
            archive=archive,
            user=given.get(USER),
            password=given.get(PASSWORD, ""),
            database=given.get(DATABASE),
            certificate=given.get(CERTIFICATE),
            patience=_seconds(given.get(PATIENCE, "30")),
        )

    def __str__(self) -> str:
        return f"{self.url}/{self.archive}"


def _seconds(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0 <= value <= 3600:
        raise BadValue(f"{PATIENCE} is {text!r}; write a number of seconds, 0 to 3600")
    return value


class Server:
    """A connected driver. Threads may share it.

    Raises:
        ArchiveUnusable: where no server answers, or it does not let one in.
    """

    def __init__(self, address: Address) -> None:
        self.address = address
        with self.plain_errors():
            self._driver: Driver = _driver(address)
            self._bookmarks = GraphDatabase.bookmark_manager()
            try:
                self._driver.verify_connectivity()
            except BaseException:
                self._driver.close()
                raise

    def ask(self, text: str, asked: Mapping[str, object]) -> list[list[Any]]:
        """Rows of a reading statement; a replica may answer, never older than our own."""

        # unlike a session's own transaction it does not wait for the server to begin
        with self.plain_errors():
            return self._driver.execute_query(
                text,
                dict(asked),
                routing_=RoutingControl.READ,
                database_=self.address.database,
                bookmark_manager_=self._bookmarks,
                result_transformer_=_rows,
            )

    def change(self, work: Callable[[ManagedTransaction], _T]) -> _T:
        """Do work in one transaction; after a fault that passes it is done again."""
        with self.plain_errors(), self._session(WRITE_ACCESS) as session:
            return session.execute_write(work)

    def make(self, text: str) -> None:
        """Make a constraint or an index; that another made it meanwhile is as well."""

        def work(turn: ManagedTransaction) -> None:
            turn.run(text).consume()

        try:
            with self._session(WRITE_ACCESS) as session:
                session.execute_write(work)
        except Neo4jError as error:
            code = error.code or ""
            if not (code.startswith("Neo.ClientError.Schema.") and "Already" in code):
                raise ArchiveUnusable(f"{self.address}: {_plain(error)}") from error
        except (DriverError, OSError) as error:
            raise ArchiveUnusable(f"{self.address}: {_plain(error)}") from error

    @contextmanager
    def once(self) -> Iterator[Transaction]:
        """One transaction that is not done again, since its work cannot be."""
        with self.plain_errors(), self._session(WRITE_ACCESS) as session:
            turn = session.begin_transaction()
            with turn:
                yield turn
                turn.commit()

    def close(self) -> None:
        """Let go of all connections."""
        self._driver.close()

    def _session(self, access: str) -> Session:
        return self._driver.session(
            default_access_mode=access,
            database=self.address.database,
            bookmark_manager=self._bookmarks,
        )

    @contextmanager
    def plain_errors(self) -> Iterator[None]:
        """Turn errors of the driver into ArchiveUnusable, with the remedy."""
        try:
            yield
        except (DriverError, Neo4jError, OSError) as error:
            raise ArchiveUnusable(f"{self.address}: {_plain(error)}") from error


def rows_of(
    turn: ManagedTransaction | Transaction, text: str, asked: Mapping[str, object]
) -> list[list[Any]]:
    """Rows of a statement within a transaction."""
    return _rows(turn.run(text, dict(asked)))


def _rows(result: Result) -> list[list[Any]]:
    return [[_bytes(one) for one in row] for row in result.values()]


def _bytes(value: Any) -> Any:
    return bytes(value) if isinstance(value, bytearray) else value


def _driver(address: Address) -> Driver:
    trust: dict[str, Any] = {}
    if address.certificate is not None:
        if not os.access(address.certificate, os.R_OK):
            raise BadValue(
                f"{CERTIFICATE} names {address.certificate}, which cannot be read; name the"
                " file with the certificate of the server, or of the house that signed it"
            )
        scheme, _, host = address.url.partition("://")
        trust = {
            "encrypted": True,
            "trusted_certificates": TrustCustomCAs(address.certificate),
        }
        url = f"{scheme.partition('+')[0]}://{host}"
    else:
        url = address.url
    login = None if address.user is None else (address.user, address.password)
    return GraphDatabase.driver(
        url,
        auth=login,
        max_transaction_retry_time=address.patience,
        connection_acquisition_timeout=max(address.patience, 5.0),
        connection_timeout=max(min(address.patience, 15.0), 2.0),
        notifications_min_severity="OFF",
        **trust,
    )


def _plain(error: BaseException) -> str:
    """What a person can do about an error of the driver."""
    said = str(error).splitlines()[0] if str(error) else type(error).__name__
    if isinstance(error, IncompleteCommit) or _HALF in str(error):
        return _half_done(error)
    if isinstance(error, AuthError):
        return f"the server does not let you in; check {USER} and {PASSWORD} ({said})"
    if _FULL.search(str(error)):
        return f"the server's disk is full; nothing of this was recorded ({said})"
    if isinstance(error, ServiceUnavailable | SessionExpired | OSError):
        return f"no server answers; start it, or check address and TLS ({said})"
    if isinstance(error, ConfigurationError):
        return f"this cannot be connected to so: {said}"
    return f"the server answers: {said}"


def _half_done(error: BaseException) -> str:
    """A batch that may be recorded or may not."""
    then = "send the batch again with the same batch id, or look at the end of the ledger"
    if isinstance(error, IncompleteCommit):
        return (
            "the server went away while it was recording, and whether it was recorded is"
            f" not known; when it is back, {then}"
        )
    return (
        "the server could not finish what it had begun to record: its disk is full or"
        " failing, see its log. Whether it was recorded is not known; make room, start it"
        f" again, and {then} ({_HALF})"
    )


def must_be_supported(server: Server) -> None:
    """ArchiveUnusable for a server older than `FLOOR`."""
    rows: Sequence[Sequence[Any]] = server.ask(
        "CALL dbms.components() YIELD name, versions RETURN name, versions[0]", {}
    )
    found = next((str(version) for name, version in rows if name == "Neo4j Kernel"), "0")
    if tuple(int(one) for one in re.findall(r"\d+", found)[:3]) < FLOOR:
        raise ArchiveUnusable(
            f"{server.address}: the server is Neo4j {found}; Vestige needs"
            f" {'.'.join(map(str, FLOOR))} or newer, older ones record relationships"
            " under wrong types"
        )
