"""Papers: the report of one object, as PDF and as HTML from the same content."""

from .write import write_report

__all__ = ["write_report"]
