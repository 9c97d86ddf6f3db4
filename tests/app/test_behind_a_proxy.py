"""The app behind a proxy that ends TLS, as an institution would run it."""

import contextlib
import re
import socket
import ssl
import threading
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from house_certificate import make_certificate

if TYPE_CHECKING:
    from playwright.sync_api import Browser

Serve = Callable[..., str]
WORDS = "three sheets of paper"


class Proxy:
    """Ends TLS at one port and passes every byte on to another; says whence it came.

    Args:
        public: its certificate; the key lies beside it.
    """

    def __init__(self, public: Path) -> None:
        self.context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        self.context.load_cert_chain(public, public.with_name("private.key"))
        self.listening = socket.create_server(("127.0.0.1", 0))
        self.port = int(self.listening.getsockname()[1])
        self.beyond = 0
        self.threads: list[threading.Thread] = []

    def begin(self, beyond: int) -> None:
        """Pass on to a port from now on."""
        self.beyond = beyond
        self._run(self._accept)

    def _run(self, work: Callable[..., None], *given: socket.socket) -> None:
        self.threads.append(threading.Thread(target=work, args=given))
        self.threads[-1].start()

    def _accept(self) -> None:
        while True:
            try:
                plain, _ = self.listening.accept()
            except OSError:
                return
            self._run(self._serve, plain)

    def _serve(self, plain: socket.socket) -> None:
        try:
            outside = self.context.wrap_socket(plain, server_side=True)
        except OSError:  # a browser that tried and gave up
            plain.close()
            return
        with outside, socket.create_connection(("127.0.0.1", self.beyond)) as inside:
            back = threading.Thread(target=_pass, args=(inside, outside))
            back.start()
            _pass(outside, inside)
            back.join()

    def close(self) -> None:
        """Listen no more, and end what is still open."""
        with contextlib.suppress(OSError):
            self.listening.shutdown(socket.SHUT_RDWR)
        self.listening.close()
        for one in self.threads:
            one.join(20)


def _pass(one: socket.socket, other: socket.socket) -> None:
    try:
        while sent := one.recv(65536):
            other.sendall(sent)
    except OSError:
        pass
    finally:
        for end in (one, other):
            with contextlib.suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)


@pytest.fixture
def front(serve: Serve, own_archive: Path, tmp_path: Path) -> Iterator[tuple[str, str]]:
    """Address of the app over TLS, and the plain one that only the proxy should reach."""
    from vestige.ui.gate import Accounts

    Accounts(own_archive).add("ines", "conservator", WORDS)
    proxy = Proxy(make_certificate(tmp_path))
    address = f"https://127.0.0.1:{proxy.port}"
    (own_archive / "access.toml").write_text(
        f'address = "{address}"\nproxies = ["127.0.0.1"]\n', "utf-8"
    )
    app = serve(own_archive)
    proxy.begin(int(app.rpartition(":")[2]))
    yield address, app
    proxy.close()


def test_people_sign_in_and_work_over_tls(
    browser: "Browser", front: tuple[str, str]
) -> None:
    address, _ = front
    context = browser.new_context(ignore_https_errors=True)
    context.set_default_timeout(40_000)
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda sent: asked.append(sent.url))
    page.on("websocket", lambda opened: asked.append(opened.url))
    page.goto(f"{address}/element?e=SLD-L7")
    page.get_by_label("Name").fill("ines")
    page.get_by_label("Password").fill(WORDS)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_text("Signed in as ines").wait_for()
    port = address.rpartition(":")[2]
    outside = (f"https://127.0.0.1:{port}/", f"wss://127.0.0.1:{port}/", "data:", "blob:")
    assert [url for url in asked if not url.startswith(outside)] == []
    assert any(url.startswith("wss:") for url in asked)
    session = [one for one in context.cookies() if "vestige" in one.get("name", "")]
    assert session
    for one in session:
        assert one.get("name", "").startswith("__Host-")
        assert one.get("secure") is True
    context.close()


def test_one_stranger_behind_the_proxy_does_not_shut_out_all(
    front: tuple[str, str],
) -> None:
    """Guesses are counted by whom the proxy names, not by the proxy."""
    address, app = front
    stranger, colleague = "203.0.113.7", "203.0.113.8"  # RFC 5737: for documentation
    last = 0
    for guess in range(30):
        last = _guess(app, address, stranger, f"nobody {guess}")
    assert last == 429
    assert _guess(app, address, colleague, "ines") == 401


def _guess(app: str, address: str, whose: str, name: str) -> int:
    """Status of the answer to a wrong password that comes from an address."""
    headers = {"X-Forwarded-For": whose, "Accept": "text/html"}
    jar = urllib.request.HTTPCookieProcessor()
    opener = urllib.request.build_opener(jar)
    with opener.open(urllib.request.Request(f"{app}/sign-in", headers=headers)) as form:
        page = form.read().decode()
    cookies = "; ".join(f"{one.name}={one.value}" for one in jar.cookiejar)
    hidden = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', page))
    fields = urllib.parse.urlencode(hidden | {"name": name, "password": "wrong words"})
    sent = urllib.request.Request(
        f"{app}/sign-in", fields.encode(), headers | {"Cookie": cookies, "Origin": address}
    )
    try:
        with urllib.request.urlopen(sent) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as refused:
        with refused:
            return refused.code
