"""The order in which things were said: entries, each sealed onto the one before."""

from .act import Act, State, Withdraw, act_text, open_text, same_key
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
    "open_text",
    "same_key",
    "seal_batch",
    "seal_of",
]
