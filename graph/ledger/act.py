"""What a person asks the ledger to record: that something is so, or no longer stands."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from ..errors import BadValue, Refused
from .entry import canonical


@dataclass(frozen=True, slots=True)
class State:
    """State a record: for the first time, or in place of an earlier version.

    Attributes:
        kind: name of the record type, e.g. ``"element"``.
        key: id of the record, the same in all its versions.
        body: what the record says, as JSON-ready values.
        replaces: ledger number of the version that this one takes the place of; None for
            a record that is not there (or was withdrawn).
        reason: why; must not be empty where a version is replaced.

    Raises:
        BadValue: where the key or the kind is empty or cannot be printed.
        Refused: where a version is replaced and no reason is given.
    """

    kind: str
    key: str
    body: Mapping[str, object]
    replaces: int | None = None
    reason: str = ""

    def __post_init__(self) -> None:
        _must_be_a_name(self.key, "key")
        _must_be_a_name(self.kind, "kind")
        if self.replaces is not None and not self.reason.strip():
            raise Refused(f"to correct {self.key}, give the reason")


@dataclass(frozen=True, slots=True)
class Withdraw:
    """Withdraw a record: it stays in the ledger and no longer stands.

    Attributes:
        key: id of the record.
        replaces: ledger number of its current version.
        reason: why; must not be empty.

    Raises:
        BadValue: where the key is empty or cannot be printed.
        Refused: where no reason is given.
    """

    key: str
    replaces: int
    reason: str

    def __post_init__(self) -> None:
        _must_be_a_name(self.key, "key")
        if not self.reason.strip():
            raise Refused(f"to withdraw {self.key}, give the reason")


Act = State | Withdraw


def _must_be_a_name(text: str, what: str) -> None:
    if not text.strip() or text != text.strip() or not text.isprintable():
        raise BadValue(
            f"{text!r} cannot be the {what} of a record: it has to be printable,"
            " not empty, and without space at its ends"
        )


def open_text(
    batch: str | None,
    based_on: Mapping[str, int] | None,
    origin: Mapping[str, object] | None,
) -> tuple[str, str]:
    """Act and canonical body of the entry that opens a batch.

    Args:
        batch: the caller's id of the batch; None where a repeat need not be known again.
        based_on: versions (ledger numbers) of the records that the caller had seen.
        origin: where the batch came from: file name, checksum, command.
    """
    said = {"batch": batch, "based_on": based_on or {}, "origin": origin or {}}
    return "open", canonical(said)


def act_text(act: Act) -> tuple[str, str]:
    """Act and canonical body of one act.

    Raises:
        Refused: for anything that is neither State nor Withdraw.
        BadValue: for a body that JSON cannot hold.
    """
    if isinstance(act, State):
        said: dict[str, object] = {"kind": act.kind, "body": act.body}
    elif isinstance(act, Withdraw):
        said = {}
    else:
        raise Refused(f"a {type(act).__name__} is no act; only State and Withdraw are")
    said |= {"key": act.key, "replaces": act.replaces, "reason": act.reason.strip()}
    return type(act).__name__.lower(), canonical(said)


def nfc(text: str) -> str:
    """A text as the ledger writes it (Unicode NFC)."""
    return unicodedata.normalize("NFC", text)
