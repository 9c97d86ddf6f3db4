"""The gate: accounts, sessions, the door before the pages, and the log of views."""

from .account import ROLES, Account, Accounts, reader_of
from .view_log import View, ViewLog, keys_in

__all__ = ["ROLES", "Account", "Accounts", "View", "ViewLog", "keys_in", "reader_of"]
