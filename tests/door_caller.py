"""Calls the door as a server would, without one: requests, cookies, web sockets."""

import asyncio
import re
from collections.abc import Coroutine, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlencode, urlsplit

from argon2 import PasswordHasher

from vestige.ui.gate.account import Accounts
from vestige.ui.gate.door import Door
from vestige.ui.gate.session import Sessions
from vestige.ui.gate.settings import AccessSettings
from vestige.ui.gate.sign_in import SIGN_IN, SignIn
from vestige.ui.gate.throttle import Throttle

CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
"""Hashes fast; for tests alone."""
WORDS = "three sheets of paper"
BEHIND = b"what lies behind the door"


class Time:
    """A clock that a test moves."""

    def __init__(self) -> None:
        self.now = 1_000_000.0

    def __call__(self) -> float:
        return self.now


@dataclass
class Answer:
    """What came back."""

    status: int
    headers: list[tuple[str, str]]
    body: bytes

    def header(self, name: str) -> str:
        return next((value for key, value in self.headers if key == name), "")

    @property
    def cookies(self) -> list[str]:
        return [value for key, value in self.headers if key == "set-cookie"]


@dataclass
class Caller:
    """A browser of little sense: it keeps cookies and follows nothing."""

    door: Door
    cookies: dict[str, str] = field(default_factory=dict)
    client: tuple[str, int] = ("127.0.0.1", 50000)

    def ask(
        self,
        address: str,
        method: str = "GET",
        headers: Mapping[str, str] | None = None,
        body: bytes = b"",
    ) -> Answer:
        scope = self._scope("http", address, headers or {}) | {"method": method}
        inbox = [{"type": "http.request", "body": body, "more_body": False}]
        sent = _run(_through(self.door, scope, inbox))
        start = next(one for one in sent if one["type"] == "http.response.start")
        answer = Answer(
            start["status"],
            [
                (k.decode("latin-1").lower(), v.decode("latin-1"))
                for k, v in start["headers"]
            ],
            b"".join(one.get("body", b"") for one in sent if "body" in one),
        )
        for cookie in answer.cookies:
            name, _, value = cookie.split(";")[0].partition("=")
            self.cookies[name] = value.strip('"')
        return answer

    def socket(self, messages: int = 1, headers: Mapping[str, str] | None = None) -> Any:
        scope = self._scope("websocket", "/_stcore/stream", headers or {})
        inbox: list[dict[str, Any]] = [{"type": "websocket.connect"}]
        inbox += [{"type": "websocket.receive", "text": "rerun"}] * messages
        return _run(_through(self.door, scope, inbox))

    def sign_in(self, name: str, password: str = WORDS, **more: str) -> Answer:
        page = self.ask(SIGN_IN).body.decode()
        sealed = re.search('name="form" value="([^"]+)"', page)
        assert sealed is not None
        form = {"form": sealed[1], "name": name, "password": password, **more}
        return self.post(SIGN_IN, form)

    def post(self, address: str, form: Mapping[str, str], **headers: str) -> Answer:
        return self.ask(address, "POST", headers, urlencode(form).encode())

    def _scope(self, kind: str, address: str, headers: Mapping[str, str]) -> dict[str, Any]:
        parts = urlsplit(address)
        said = {"host": "127.0.0.1:8641", **headers}
        if self.cookies:
            said["cookie"] = "; ".join(f"{k}={v}" for k, v in self.cookies.items() if v)
        return {
            "type": kind,
            "path": parts.path,
            "raw_path": parts.path.encode(),
            "query_string": parts.query.encode(),
            "headers": [(k.encode(), v.encode()) for k, v in said.items()],
            "client": self.client,
            "server": ("127.0.0.1", 8641),
            "scheme": "http" if kind == "http" else "ws",
            "root_path": "",
        }


def door(
    folder: Path,
    *,
    settings: AccessSettings | None = None,
    clock: Time | None = None,
) -> Door:
    """A door before something that answers everything."""
    time = clock or Time()
    accounts = Accounts(folder, CHEAP)
    sessions = Sessions(accounts, time)
    sign_in = SignIn(accounts, sessions, settings or AccessSettings(), Throttle(time))
    return Door(_behind, sign_in)


async def _behind(scope: Any, receive: Any, send: Any) -> None:
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.accept"})
        while (await receive())["type"] == "websocket.receive":
            await send({"type": "websocket.send", "text": BEHIND.decode()})
        return
    heads = [(b"content-type", b"text/plain"), (b"cache-control", b"public")]
    await send({"type": "http.response.start", "status": 200, "headers": heads})
    await send({"type": "http.response.body", "body": BEHIND})


def _run(call: Coroutine[Any, Any, list[Any]]) -> list[Any]:
    """In a thread of its own: a browser of another test may hold this one's loop."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, call).result()


async def _through(app: Any, scope: Any, inbox: list[dict[str, Any]]) -> list[Any]:
    sent: list[Any] = []

    async def receive() -> dict[str, Any]:
        if inbox:
            return inbox.pop(0)
        return {"type": f"{scope['type']}.disconnect"}

    async def send(message: Any) -> None:
        sent.append(message)

    await app(scope, receive, send)
    return sent
