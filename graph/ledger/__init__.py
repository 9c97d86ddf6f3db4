"""The order in which things were said: entries, each sealed onto the one before."""

from .act import Act, State, Withdraw, act_text, nfc, open_text
from .entry import (
    ACTS,
    GENESIS,
    LARGEST_BODY,
    Chain,
    Entry,
    Fault,
    Head,
    canonical,
    faults_of,
    follow,
    seal_batch,
    seal_of,
)

__all__ = [
    "ACTS",
    "GENESIS",
    "LARGEST_BODY",
    "Act",
    "Chain",
    "Entry",
    "Fault",
    "Head",
    "State",
    "Withdraw",
    "act_text",
    "canonical",
    "faults_of",
    "follow",
    "nfc",
    "open_text",
    "seal_batch",
    "seal_of",
]
