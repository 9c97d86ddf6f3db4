"""A form of a page as somebody filled it in, about the screen of the invented museum."""

from vestige.ui.page import Desk

SCREEN = "FEN.1931.44"


def form(desk: Desk, **said: str) -> dict[str, str]:
    """A new form with these fields filled in."""
    return {"key": desk.collection.keys.new(), "object": SCREEN, **said}
