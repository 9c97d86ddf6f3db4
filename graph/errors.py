"""The exceptions of Vestige.

* VestigeError
  - NotRecorded       (also a LookupError)  an identifier that no record bears
  - BadValue          (also a ValueError)   a date, measure or code that cannot be read
  - Refused           a lawful answer: the act may not be done, with the reason
  - Conflict          somebody else recorded what this batch was based on
  - LedgerBroken      the ledger no longer proves its own order
  - ArchiveUnusable   the file is not an archive, or of another age, or in use
"""


class VestigeError(Exception):
    """Base of every exception that Vestige raises on purpose."""


class NotRecorded(VestigeError, LookupError):
    """An identifier was asked for that no record bears."""


class BadValue(VestigeError, ValueError):
    """A value cannot be read; the text says what is wrong and what would be right."""


class Refused(VestigeError):
    """An act that the rules of the house do not allow; the text gives the reason."""


class Conflict(VestigeError):
    """Somebody else recorded what this batch was based on.

    Attributes:
        key: id of the record that moved on.
        wanted: version (ledger number) the caller had seen; 0 for "not there yet".
        found: version that the archive holds now.
    """

    def __init__(self, key: str, wanted: int, found: int) -> None:
        super().__init__(
            f"{key} was changed since it was read (seen as entry {wanted}, now {found})"
        )
        self.key, self.wanted, self.found = key, wanted, found


class LedgerBroken(VestigeError):
    """The ledger no longer proves its own order.

    Attributes:
        number: the first entry whose seal does not match, counted from 1.
    """

    def __init__(
        self, number: int, reason: str = "does not follow from the one before"
    ) -> None:
        super().__init__(f"ledger entry {number} {reason}")
        self.number, self.reason = number, reason


class ArchiveUnusable(VestigeError):
    """The file is not an archive of Vestige, or of another age, or cannot be opened."""
