"""The command line."""

from .main import cli, main

__all__ = ["cli", "main"]
