"""Who looks at the pages now, for the pages to ask."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from vestige.graph.state import Reader

from . import words
from .account import RECORDING, Accounts
from .settings import AccessSettings
from .sign_in import SignIn
from .view_log import NO_ACCOUNT


class NotSignedIn(Exception):
    """Nobody is signed in; the text is for whoever sits there."""


@dataclass(frozen=True, slots=True)
class Present:
    """Who looks at the pages.

    Attributes:
        name: the account; None where nobody needs to sign in.
        role: in which role; None for the public on this machine.
        reader: as whom they read.
        records: whether they may record anything.
    """

    name: str | None
    role: str | None
    reader: Reader
    records: bool

    @property
    def who(self) -> str:
        """What the view log calls them."""
        return self.name or NO_ACCOUNT

    @property
    def holds(self) -> tuple[str, ...] | None:
        """Roles in which they may record: those of the account; None where there is none.

        An authority that an account was given counts as a role of it, as in reading.
        """
        if self.name is None:
            return None
        if not self.records or self.role is None:
            return ()
        return (self.role, *sorted(self.reader.also))


_GUARDS: list[SignIn] = []


def guard(sign_in: SignIn) -> None:
    """Say that the pages of this process are behind a door, once, at its start."""
    _GUARDS[:] = [sign_in]


def present(folder: Path, role: str | None, cookies: Mapping[str, str]) -> Present:
    """Who looks at the pages of an archive.

    Args:
        folder: folder of the archive.
        role: role chosen at the start; counts only where nobody needs to sign in.
        cookies: of the browser.

    Raises:
        NotSignedIn: where somebody must sign in, and is not.
    """
    if not _GUARDS:
        if Accounts(folder).exist() or AccessSettings.of(folder).provider:
            raise NotSignedIn(words.GATE_MISSING)
        return Present(None, role, Reader(role), True)
    [sign_in] = _GUARDS
    if not sign_in.needed():
        return Present(None, role, Reader(role), True)
    session = sign_in.sessions.of(cookies.get(sign_in.cookie))
    if session is None:
        raise NotSignedIn(words.OVER)
    return Present(session.name, session.role, session.reader, session.role in RECORDING)
