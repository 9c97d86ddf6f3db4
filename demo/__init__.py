"""An invented museum, so that every command can be tried."""

from .museum import MUSEUM, build

__all__ = ["MUSEUM", "build"]
