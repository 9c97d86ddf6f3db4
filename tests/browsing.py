"""How a test goes about the pages in a real browser: look, choose, type, save."""

from pathlib import Path
from typing import TYPE_CHECKING

from vestige.ui.page.draft import DRAFTS_FILE

if TYPE_CHECKING:
    from playwright.sync_api import Page

SCREEN = "FEN.1931.44"


def still(page: "Page") -> None:
    """Wait until the app has drawn everything."""
    page.locator("h1").first.wait_for()
    page.wait_for_function(
        "() => document.querySelector('[data-testid=stApp]')"
        ".dataset.testScriptState === 'notRunning'"
    )


def look(page: "Page", address: str) -> None:
    page.goto(address)
    still(page)


def choose(page: "Page", label: str, words: str) -> None:
    """Choose in a list by typing what it says."""
    box = page.get_by_role("combobox", name=label, exact=True)
    box.click()
    box.fill(words)
    page.get_by_role("option", name=words).first.click()
    still(page)


def type_into(page: "Page", label: str, words: str) -> None:
    field = page.get_by_label(label, exact=True)
    field.fill(words)
    field.press("Tab")
    page.wait_for_timeout(400)  # what was typed is on its way to the app
    still(page)


def saved(page: "Page", button: str) -> bytes:
    with page.expect_download() as waited:
        page.get_by_role("button", name=button).first.click()
    return Path(waited.value.path()).read_bytes()


def drafted(page: "Page", archive: Path, words: str) -> None:
    """Wait, without leaving the field, until a draft beside the archive holds the words."""
    for _ in range(100):
        file = archive / DRAFTS_FILE
        if file.is_file() and words in file.read_text("utf-8"):
            return
        page.wait_for_timeout(200)
    raise AssertionError(f"no draft holds {words!r} after 20 s")
