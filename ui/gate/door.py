"""The door: what every request meets before the pages, pictures, files and sockets.

With accounts (or a provider) nothing behind it answers without a session: no page, no
picture, no file, no web socket, not even whether the server is well. Without, it serves
this machine alone, and refuses requests that another site sends through the browser.
"""

from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any
from urllib.parse import quote, unquote, urlsplit

from starlette.requests import HTTPConnection
from starlette.responses import PlainTextResponse, RedirectResponse, Response

from . import words
from .session import Session
from .settings import is_here
from .sign_in import SIGN_IN, SignIn

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_HEADERS = 16_384
"""Bytes of all headers and the address of one request."""
UNAUTHORISED, FORBIDDEN = 401, 403
POLICY = 1008
"""Close code of a web socket that policy ends (RFC 6455, 7.4.1)."""
HARDENED = (
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"SAMEORIGIN"),
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"private, no-store"),
)


class Door:
    """Stands before an ASGI application.

    Args:
        app: what is guarded.
        sign_in: knows the sessions and answers the addresses of signing in and out.
    """

    def __init__(self, app: App, sign_in: SignIn) -> None:
        self.app = app
        self.sign_in = sign_in

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or answer it here."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        refused = self._unfit(scope)
        if refused is None and not self.sign_in.needed():
            refused = self._not_of_this_machine(scope)
            if refused is None:
                await self.app(scope, receive, _hardened(send))
                return
        if refused is not None:
            await self._refuse(refused, scope, receive, send)
        elif scope["type"] == "http" and self.sign_in.owns(scope["path"]):
            await self.sign_in.answer(scope, receive, _hardened(send))
        else:
            await self._with_session(scope, receive, send)

    async def _with_session(self, scope: Scope, receive: Receive, send: Send) -> None:
        connection = HTTPConnection(scope)
        token = self.sign_in.token(connection)
        if self.sign_in.sessions.of(token) is None:
            await self._refuse(self._asks_to_sign_in(connection), scope, receive, send)
        elif scope["type"] == "websocket":
            if not self.sign_in.same_site(connection):
                await self._refuse(_says(FORBIDDEN, words.ELSEWHERE), scope, receive, send)
                return
            watch = _Watched(lambda: self.sign_in.sessions.of(token), receive, send)
            await self.app(scope, watch.receive, watch.send)
        else:
            await self.app(scope, receive, _hardened(send))

    def _unfit(self, scope: Scope) -> Response | None:
        """An answer to what no browser of good will sends; None where it is fit."""
        size = sum(len(name) + len(value) for name, value in scope["headers"])
        if size + len(scope["path"]) + len(scope["query_string"]) > MOST_HEADERS:
            return _says(431, words.TOO_LARGE)
        raw = scope.get("raw_path") or scope["path"].encode("utf-8", "replace")
        path = unquote(unquote(raw.decode("latin-1")))
        climbs = ".." in path.replace("\\", "/").split("/")
        if climbs or "\\" in path or any(ord(one) < 32 for one in path):
            return _says(400, words.MALFORMED)
        hosts = [value for name, value in scope["headers"] if name == b"host"]
        return None if len(hosts) == 1 else _says(400, words.MALFORMED)

    def _not_of_this_machine(self, scope: Scope) -> Response | None:
        """Refuse other machines, and other sites in a browser of this one.

        A name that a stranger's site points to this machine is no name of it: the Host
        header tells.
        """
        client = scope.get("client")
        connection = HTTPConnection(scope)
        host = urlsplit(f"//{connection.headers.get('host', '')}").hostname or ""
        if client is None or not is_here(client[0]) or not is_here(host):
            return _says(FORBIDDEN, words.NOT_HERE)
        going = connection.headers.get("sec-fetch-mode") == "navigate"
        reads = scope["type"] == "http" and scope["method"] in ("GET", "HEAD")
        if (going and reads) or self.sign_in.same_site(connection):
            return None
        return _says(FORBIDDEN, words.ELSEWHERE)

    def _asks_to_sign_in(self, connection: HTTPConnection) -> Response:
        scope = connection.scope
        page = "text/html" in connection.headers.get("accept", "")
        if scope["type"] == "http" and scope["method"] == "GET" and page:
            asked = scope["path"]
            query = scope["query_string"].decode("latin-1")
            then = quote(f"{asked}?{query}" if query else asked, safe="")
            return RedirectResponse(f"{SIGN_IN}?then={then}", 303)
        return _says(UNAUTHORISED, words.OVER)

    async def _refuse(
        self, answer: Response, scope: Scope, receive: Receive, send: Send
    ) -> None:
        if scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": POLICY})
            return
        await answer(scope, receive, _hardened(send))


class _Watched:
    """A web socket that ends with its session, not when the browser lets it go."""

    def __init__(
        self, session: Callable[[], Session | None], receive: Receive, send: Send
    ) -> None:
        self._session, self._receive, self._send = session, receive, send
        self._ended = False

    async def receive(self) -> Message:
        message = await self._receive()
        if message["type"] != "websocket.receive" or self._session() is not None:
            return message
        await self._end()
        return {"type": "websocket.disconnect", "code": POLICY}

    async def send(self, message: Message) -> None:
        if self._ended:
            return
        if message["type"] == "websocket.send" and self._session() is None:
            await self._end()
            return
        await self._send(message)

    async def _end(self) -> None:
        if not self._ended:
            self._ended = True
            await self._send({"type": "websocket.close", "code": POLICY})


def _says(code: int, text: str) -> Response:
    return PlainTextResponse(text, code)


def _hardened(send: Send) -> Send:
    """Every answer with the headers that keep browsers from guessing and keeping."""

    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            ours = {name for name, _ in HARDENED}
            kept = [
                (name, value)
                for name, value in message.get("headers", [])
                if name.lower() not in ours
            ]
            message = {**message, "headers": [*kept, *HARDENED]}
        await send(message)

    return sent
