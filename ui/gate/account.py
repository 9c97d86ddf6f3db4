"""Accounts of one workshop: who may sign in, in which role, and what is opened to them.

They lie in one file in the archive's folder, beside the record and not in it: people and
their passwords are no part of what is remembered of objects. Only a hash of a password is
kept, made by argon2id (RFC 9106, its second recommended setting, as `argon2-cffi` ships
it). Whoever can read the archive's folder can read the record itself; the accounts guard
the pages and the command, not the disk.
"""

import json
import os
import re
import secrets
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from vestige.graph.errors import ArchiveUnusable, BadValue, NotRecorded, Refused
from vestige.graph.state import Reader

if TYPE_CHECKING:
    from argon2 import PasswordHasher

ACCOUNTS_FILE = "accounts.json"
FORM = "vestige.accounts/1"
ROLES = ("conservator", "registrar", "researcher", "guest")
RECORDING = frozenset({"conservator", "registrar"})
"""Roles in which something may be recorded; the others ask and read."""
SHORTEST, LONGEST = 12, 128
"""Characters of a password: OWASP ASVS 4.0.3, 2.1.1 and 2.1.2 (from memory)."""
_NAME = re.compile(r"\S(?:.{0,62}\S)?")


@dataclass(frozen=True, slots=True)
class Account:
    """One person who may sign in.

    Attributes:
        name: what they sign in with; two names that differ in case alone are one.
        role: one of `ROLES`.
        opens: named authorities (as in "whom to ask") whose restricted content they read.
        sealed: hash of the password with its salt and settings.
        stamp: made anew whenever the account changes; sessions of an older one end.
    """

    name: str
    role: str
    opens: tuple[str, ...]
    sealed: str
    stamp: str

    @property
    def reader(self) -> Reader:
        """As whom they read."""
        return reader_of(self.role, self.opens)


def reader_of(role: str, opens: Iterable[str] = ()) -> Reader:
    """Who reads in a role: a guest is the public, with what is opened to them by name."""
    return Reader(None if role == "guest" else role, frozenset(opens))


class Accounts:
    """The accounts of one archive; the file is read again whenever it has changed.

    Args:
        folder: folder of the archive.
        hasher: makes and checks hashes; None for the usual one.
    """

    def __init__(self, folder: Path, hasher: "PasswordHasher | None" = None) -> None:
        self.file = folder / ACCOUNTS_FILE
        self._given = hasher
        self._seen: tuple[int, int, int] | None = None
        self._read: dict[str, Account] = {}
        self._nobody = ""

    @property
    def _hasher(self) -> "PasswordHasher":
        if self._given is None:
            try:
                from argon2 import PasswordHasher
            except ImportError:
                raise Refused(
                    "accounts need the package argon2-cffi, which is not installed; "
                    "install Vestige with its extra 'app': pip install 'vestige[app]'"
                ) from None
            self._given = PasswordHasher()
        return self._given

    def exist(self) -> bool:
        """Whether anybody has an account; a file that is there counts, even an empty one.

        Somebody who takes away the last account does not open the archive by that.
        """
        return self.file.exists()

    def all(self) -> tuple[Account, ...]:
        """Every account, by name.

        Raises:
            ArchiveUnusable: where the file is no list of accounts; nobody gets in then.
        """
        every = self._every()
        return tuple(every[name] for name in sorted(every))

    def get(self, name: str) -> Account:
        """The account of a name.

        Raises:
            NotRecorded: where there is none.
        """
        try:
            return self._every()[_folded(name)]
        except KeyError:
            raise NotRecorded(f"there is no account '{name}'") from None

    def add(
        self, name: str, role: str, password: str, opens: Iterable[str] = ()
    ) -> Account:
        """Make an account.

        Raises:
            BadValue: where name, role or password will not do.
            Refused: where the name is taken.
        """
        clean = name_of(name)
        if _folded(clean) in self._every():
            raise Refused(f"there is an account '{clean}' already; nothing was changed")
        made = Account(
            clean, role_of(role), tuple(opens), self._hash(clean, password), _stamp()
        )
        self._write({**self._every(), _folded(clean): made})
        return made

    def remove(self, name: str) -> None:
        """Take an account away; its sessions end."""
        gone = self.get(name)
        self._write({k: v for k, v in self._every().items() if v is not gone})

    def set_role(
        self, name: str, role: str | None, opens: Iterable[str] | None = None
    ) -> Account:
        """Give an account another role or other authorities; None leaves them."""
        old = self.get(name)
        new = replace(
            old,
            role=old.role if role is None else role_of(role),
            opens=old.opens if opens is None else tuple(opens),
            stamp=_stamp(),
        )
        self._write({**self._every(), _folded(name): new})
        return new

    def set_password(self, name: str, password: str) -> None:
        """Give an account another password; its sessions end."""
        old = self.get(name)
        new = replace(old, sealed=self._hash(old.name, password), stamp=_stamp())
        self._write({**self._every(), _folded(name): new})

    def check(self, name: str, password: str) -> Account | None:
        """The account, where the password is its own; else None.

        An unknown name costs the same work as a known one with a wrong password.
        """
        from argon2.exceptions import InvalidHashError, VerificationError

        known = self._every().get(_folded(name))
        if not self._nobody:
            self._nobody = self._hasher.hash(secrets.token_hex(32))
        try:
            self._hasher.verify(known.sealed if known else self._nobody, _form(password))
        except (VerificationError, InvalidHashError):
            return None
        return known

    def _hash(self, name: str, password: str) -> str:
        text = _form(password)
        if not SHORTEST <= len(text) <= LONGEST:
            raise BadValue(
                f"a password has {SHORTEST} to {LONGEST} characters; several words will do"
            )
        if _folded(name) in text.casefold() or len(set(text)) < 5:
            raise BadValue("the password is too easy: it is the name or a few characters")
        return self._hasher.hash(text)

    def _every(self) -> dict[str, Account]:
        try:
            found = self.file.stat()
        except FileNotFoundError:
            self._seen, self._read = None, {}
            return {}
        seen = (found.st_mtime_ns, found.st_size, found.st_ino)
        if seen != self._seen:
            self._read, self._seen = self._from_file(), seen
        return self._read

    def _from_file(self) -> dict[str, Account]:
        try:
            said = json.loads(self.file.read_text("utf-8"))
            if said["form"] != FORM:
                raise ValueError(said["form"])
            every = [
                Account(
                    str(one["name"]),
                    role_of(one["role"]),
                    tuple(map(str, one["opens"])),
                    str(one["sealed"]),
                    str(one["stamp"]),
                )
                for one in said["accounts"]
            ]
        except (OSError, ValueError, KeyError, TypeError, BadValue) as why:
            raise ArchiveUnusable(
                f"{self.file} is no list of accounts ({why}); nobody can sign in until "
                "it is put right from a backup, or moved away and made anew"
            ) from None
        return {_folded(one.name): one for one in every}

    def _write(self, every: dict[str, Account]) -> None:
        """Write all accounts, for this user's eyes only: the old file stays or the new."""
        said = {
            "form": FORM,
            "accounts": [
                {
                    "name": one.name,
                    "role": one.role,
                    "opens": list(one.opens),
                    "sealed": one.sealed,
                    "stamp": one.stamp,
                }
                for _, one in sorted(every.items())
            ],
        }
        part = self.file.with_name(f"{ACCOUNTS_FILE}.{secrets.token_hex(4)}.part")
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as out:
            json.dump(said, out, ensure_ascii=False, indent=1)
            out.flush()
            os.fsync(out.fileno())
        os.replace(part, self.file)


def name_of(name: str) -> str:
    """A name as it is kept.

    Raises:
        BadValue: where it is empty, too long, or holds what cannot be seen.
    """
    clean = unicodedata.normalize("NFC", name)
    if not _NAME.fullmatch(clean) or not clean.isprintable():
        raise BadValue(
            "a name to sign in with has 1 to 64 characters that can be seen, and begins "
            "and ends with none that is blank"
        )
    return clean


def role_of(role: str) -> str:
    """One of the roles.

    Raises:
        BadValue: where it is none.
    """
    if role not in ROLES:
        raise BadValue(f"'{role}' is no role; write one of: {', '.join(ROLES)}")
    return role


def _folded(name: str) -> str:
    return unicodedata.normalize("NFKC", name).casefold()


def _form(password: str) -> str:
    """The same password however a keyboard composes its letters (RFC 8265 asks so)."""
    return unicodedata.normalize("NFC", password)


def _stamp() -> str:
    return secrets.token_hex(8)
