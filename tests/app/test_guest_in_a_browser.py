"""A guest signs in and reaches nothing that is closed, by link, search or address."""

import urllib.error
import urllib.request
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from browsing import still

if TYPE_CHECKING:
    from playwright.sync_api import Page, WebSocket

Serve = Callable[..., str]
WORDS = "three sheets of paper"
CLOSED = (
    "family detail about the mending", "Told by the family that mended",
    "Crossbar x7 with staple", "Taken before the restriction",
    "mill stood beside the tower", "account of a member of the donor family",
)  # fmt: skip
LOOKED_AT = (
    "record?id=KV8b", "record?id=PH-70-2", "record?id=S-FM19", "record?id=SV19",
    "element?e=SLD-L7", "object?o=FEN.1922.70", "find?q=family", "find?q=mill",
    "changes", "questions", "correct?id=KV8b",
)  # fmt: skip


def accounts(folder: Path) -> None:
    from vestige.ui.gate import Accounts

    Accounts(folder).add("visitor", "guest", WORDS)
    Accounts(folder).add("ines", "conservator", WORDS, ("CCL", "R2"))


def sign_in(page: "Page", app: str, name: str, then: str) -> None:
    page.goto(f"{app}/{then}")
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(WORDS)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_text(f"Signed in as {name}").wait_for()
    still(page)


def everything_sent(page: "Page") -> list[bytes]:
    """Gathers every answer and every web socket frame that reaches the browser."""
    heard: list[bytes] = []

    def frame(payload: str | bytes) -> None:
        heard.append(payload.encode() if isinstance(payload, str) else payload)

    def opened(socket: "WebSocket") -> None:
        socket.on("framereceived", frame)

    page.on("websocket", opened)
    return heard


def status(address: str, cookie: str = "") -> int:
    asked = urllib.request.Request(address, headers={"Cookie": cookie})
    try:
        with urllib.request.urlopen(asked, timeout=20) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as refused:
        with refused:
            return refused.code


def test_a_guest_reaches_nothing_that_is_closed(
    page: "Page", serve: Serve, own_archive: Path
) -> None:
    accounts(own_archive)
    app = serve(own_archive)
    heard = everything_sent(page)
    sign_in(page, app, "visitor", "record?id=KV8b")
    shown = [page.content()]
    for one in LOOKED_AT:
        page.goto(f"{app}/{one}")
        page.get_by_text("Signed in as visitor").wait_for()
        still(page)
        shown.append(page.content())
    assert len(b"".join(heard)) > 10_000
    sent = b"".join(heard) + "".join(shown).encode()
    assert [word for word in CLOSED if word.encode() in sent] == []
    assert page.get_by_role("link", name="Bring in sheets").count() == 0


def test_who_may_read_it_sees_it_and_is_noted_until_signed_out(
    page: "Page", serve: Serve, own_archive: Path
) -> None:
    from vestige.ui.gate import ViewLog

    accounts(own_archive)
    app = serve(own_archive)
    heard = everything_sent(page)
    sign_in(page, app, "ines", "record?id=KV8b")
    page.get_by_text("Told by the family that mended").first.wait_for()
    assert CLOSED[0].encode() in b"".join(heard)
    box = page.get_by_role("combobox", name="Recording as (role)")
    box.click()
    roles = [one.inner_text() for one in page.get_by_role("option").all()]
    assert [one.split()[0] for one in roles] == ["conservator", "CCL", "R2"]
    box.press("Escape")
    noted = {(one.who, one.number, one.through) for one in ViewLog(own_archive).views()}
    assert ("ines", "KV8b", "pages") in noted
    cookie = next(one for one in page.context.cookies() if one.get("name") == "vestige")
    held = f"vestige={cookie.get('value')}"
    assert status(f"{app}/_stcore/health", held) == 200
    for address in ("_stcore/health", "_stcore/host-config", "media/x.png", "static/x.js"):
        assert status(f"{app}/{address}") == 401
    page.get_by_role("link", name="Sign out").click()
    page.get_by_role("button", name="Sign out").click()
    page.get_by_label("Password").wait_for()
    assert status(f"{app}/_stcore/health", held) == 401
