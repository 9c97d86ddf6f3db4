"""Sessions: who is signed in now, until when.

A browser holds a sealed random name of its session and nothing else. What it stands for
is kept in this process: a session ends when it is signed out, when its time is over, when
its account changes, and when the server stops.
"""

import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass

from itsdangerous import BadData, URLSafeSerializer

from vestige.graph.state import Reader

from .account import Account, Accounts, reader_of

HOURS = 8
MOST = 2000
"""Sessions that are held at once; the oldest ends first."""


@dataclass(frozen=True, slots=True)
class Session:
    """One sign-in.

    Attributes:
        name: who signed in; `via` is "account", or the provider that vouched for them.
        role: one of `ROLES`; `opens` are the authorities opened to them.
        stamp: of the account when they signed in; empty for a provider.
        ends: when it is over, seconds of the sessions' clock.
    """

    name: str
    role: str
    opens: tuple[str, ...]
    stamp: str
    via: str
    ends: float

    @property
    def reader(self) -> Reader:
        """As whom they read."""
        return reader_of(self.role, self.opens)


class Sessions:
    """Everybody who is signed in to one archive.

    Args:
        accounts: a session lasts no longer than its account stays as it is.
        clock: seconds since 1970; a machine that slept has not stopped the time.
    """

    def __init__(self, accounts: Accounts, clock: Callable[[], float] = time.time) -> None:
        self.accounts = accounts
        self._clock = clock
        self._seal = URLSafeSerializer(secrets.token_bytes(32), salt="vestige session")
        self._every: dict[str, Session] = {}
        self._turn = threading.Lock()

    def begin(self, account: Account) -> str:
        """Begin a session of an account; gives what the browser is to hold."""
        return self._begin(
            account.name, account.role, account.opens, account.stamp, "account"
        )

    def begin_vouched(self, name: str, role: str, opens: tuple[str, ...], via: str) -> str:
        """Begin a session of somebody a provider vouches for."""
        return self._begin(name, role, opens, "", via)

    def _begin(
        self, name: str, role: str, opens: tuple[str, ...], stamp: str, via: str
    ) -> str:
        ends = self._clock() + HOURS * 3600
        number = secrets.token_urlsafe(32)
        with self._turn:
            now = self._clock()
            self._every = {k: v for k, v in self._every.items() if v.ends > now}
            while len(self._every) >= MOST:
                del self._every[next(iter(self._every))]
            self._every[number] = Session(name, role, opens, stamp, via, ends)
        return str(self._seal.dumps(number))

    def of(self, token: str | None) -> Session | None:
        """The session that a browser holds; None where it is forged, over or ended."""
        number = self._number(token)
        with self._turn:
            found = self._every.get(number) if number else None
        if found is None or found.ends <= self._clock():
            return None
        return found if self._stands(found) else None

    def end(self, token: str | None) -> None:
        """End a session; whatever holds it is signed out at once."""
        number = self._number(token)
        if number:
            with self._turn:
                self._every.pop(number, None)

    def _number(self, token: str | None) -> str | None:
        if not token or len(token) > 512:
            return None
        try:
            number = self._seal.loads(token)
        except BadData:
            return None
        return number if isinstance(number, str) else None

    def _stands(self, one: Session) -> bool:
        if one.via != "account":
            return True
        return any(
            (account.name, account.stamp) == (one.name, one.stamp)
            for account in self.accounts.all()
        )
