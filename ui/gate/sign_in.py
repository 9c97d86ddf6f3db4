"""Signing in and out: the form, the checks, the cookies, and the way back."""

import asyncio
import html
import secrets
import time
from collections.abc import Callable
from urllib.parse import parse_qs, urlsplit

from itsdangerous import BadData, URLSafeTimedSerializer
from starlette.requests import HTTPConnection, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.types import Receive, Scope, Send

from ..language import catalogue_of, languages, preferred, speak, tag
from . import words
from .account import Account, Accounts
from .provider import NotVouched, Provider
from .session import Sessions
from .settings import AccessSettings
from .throttle import Throttle

SIGN_IN, SIGN_OUT = "/sign-in", "/sign-out"
TO_PROVIDER, FROM_PROVIDER = "/sign-in/provider", "/sign-in/back"
MOST_FORM = 8192
"""Bytes of a form that is sent to sign in."""
FORM_LASTS = 3600
AT_ONCE = 2
"""Passwords that are checked at the same time; each check takes 64 MiB."""
POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; form-action 'self'; "
    "frame-ancestors 'none'; base-uri 'none'"
)
_PAGE = """<!doctype html><html lang="{language}"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width"><title>Vestige: {title}</title>
<style>body{{font:1.125rem/1.5 system-ui,sans-serif;max-width:24rem;margin:12vh auto;
padding:0 1rem;color:#16181d;background:#fff}}input,button{{font:inherit;width:100%;
box-sizing:border-box;min-height:3rem;padding:.5rem .75rem;margin:.25rem 0 1rem;
border:2px solid #4a4f5a;border-radius:.25rem}}button{{background:#072871;color:#fff;
border-color:#072871}}:focus-visible{{outline:3px solid #b1540b;outline-offset:2px}}
p[role=alert]{{color:#8a1111;font-weight:600}}a{{color:#072871}}</style></head>
<body><main><h1>Vestige</h1>{body}</main></body></html>"""


class SignIn:
    """Answers the addresses of signing in and out.

    Args:
        accounts: local accounts.
        sessions: who is signed in.
        settings: the address people type, and who else vouches for people.
        throttle: slows guesses; None for the usual one.
    """

    def __init__(
        self,
        accounts: Accounts,
        sessions: Sessions,
        settings: AccessSettings,
        throttle: Throttle | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.accounts, self.sessions, self.settings = accounts, sessions, settings
        self.throttle = throttle or Throttle(clock)
        self.provider = (
            Provider(settings.provider, f"{settings.address}{FROM_PROVIDER}")
            if settings.provider
            else None
        )
        self._seal = URLSafeTimedSerializer(secrets.token_bytes(32), salt="vestige form")
        self._turns = asyncio.Semaphore(AT_ONCE)
        prefix = "__Host-" if settings.secure else ""
        self.cookie, self.form_cookie = f"{prefix}vestige", f"{prefix}vestige-form"

    def needed(self) -> bool:
        """Whether anybody must sign in."""
        return self.provider is not None or self.accounts.exist()

    def owns(self, path: str) -> bool:
        """Whether an address is one of signing in or out."""
        return path in (SIGN_IN, SIGN_OUT, TO_PROVIDER, FROM_PROVIDER)

    def token(self, connection: HTTPConnection) -> str | None:
        """What a browser holds as its session; nothing is said of whether it is one."""
        return connection.cookies.get(self.cookie)

    def same_site(self, connection: HTTPConnection) -> bool:
        """Whether our own page sent this, as far as the browser tells."""
        origin = connection.headers.get("origin")
        if origin is None:
            site = connection.headers.get("sec-fetch-site", "none")
            return site in ("same-origin", "none")
        ours = {
            connection.headers.get("host"),
            urlsplit(self.settings.address or "").netloc,
        }
        return urlsplit(origin).netloc in ours - {None, ""}

    async def answer(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request to one of these addresses."""
        request = Request(scope, receive)
        asked = preferred(request.headers.get("accept-language"), languages())
        speak(catalogue_of(asked))
        path, method = scope["path"], scope["method"]
        if method == "POST" and path in (SIGN_IN, SIGN_OUT):
            made = await self._posted(request)
        elif method not in ("GET", "HEAD"):
            made = Response(status_code=405)
        elif path == SIGN_OUT:
            made = self._ask_to_leave(request)
        elif self.provider is not None and path == TO_PROVIDER:
            made = await self._to_provider(request, self.provider)
        elif self.provider is not None and path == FROM_PROVIDER:
            made = await self._from_provider(request, self.provider)
        else:
            made = self._form(request, "", way_back(request.query_params.get("then")))
        await made(scope, receive, send)

    async def _posted(self, request: Request) -> Response:
        if not self.same_site(request):
            return self._form(request, words.ELSEWHERE, "/", 403)
        body = await _body(request)
        if body is None:
            return self._form(request, words.TOO_LONG, "/", 413)
        if not self._fresh(request, body.get("form", "")):
            return self._form(request, words.STALE, way_back(body.get("then")), 403)
        if request.url.path == SIGN_OUT:
            self.sessions.end(self.token(request))
            gone = RedirectResponse(SIGN_IN, 303)
            gone.delete_cookie(
                self.cookie, secure=self.settings.secure, httponly=True, samesite="lax"
            )
            return gone
        return await self._check(request, body)

    async def _check(self, request: Request, body: dict[str, str]) -> Response:
        name, then = body.get("name", ""), way_back(body.get("then"))
        address = request.client.host if request.client else ""
        wait = self.throttle.wait(name, address)
        if wait > 0:
            said = words.TOO_MANY.format(seconds=int(wait) + 1)
            answer = self._form(request, said, then, 429)
            answer.headers["retry-after"] = str(int(wait) + 1)
            return answer
        self.throttle.wrong(name, address)  # before the check: many at once are counted
        async with self._turns:
            found = await asyncio.to_thread(
                self.accounts.check, name, body.get("password", "")
            )
        if found is None:
            return self._form(request, words.WRONG, then, 401)
        self.throttle.right(name, address)
        return self._enter(request, self.begin(found), then)

    def begin(self, account: Account) -> str:
        """Begin a session of an account."""
        return self.sessions.begin(account)

    def _enter(self, request: Request, token: str, then: str) -> Response:
        """A new session in place of whatever the browser held before."""
        self.sessions.end(self.token(request))
        answer = RedirectResponse(then, 303)
        self._keep(answer, self.cookie, token, "lax")
        answer.delete_cookie(self.form_cookie, secure=self.settings.secure, httponly=True)
        return answer

    async def _to_provider(self, request: Request, provider: Provider) -> Response:
        try:
            address, kept = await asyncio.to_thread(
                provider.begin, way_back(request.query_params.get("then"))
            )
        except NotVouched as why:
            return self._form(request, _not_vouched(provider, why), "/", 502)
        answer = RedirectResponse(address, 303)
        self._keep(answer, self.form_cookie, self._seal.dumps(kept), "lax")
        return answer

    async def _from_provider(self, request: Request, provider: Provider) -> Response:
        kept = self._kept(request)
        try:
            if not isinstance(kept, dict):
                raise NotVouched(words.STALE)
            who = await asyncio.to_thread(provider.finish, dict(request.query_params), kept)
        except NotVouched as why:
            return self._form(request, _not_vouched(provider, why), "/", 403)
        token = self.sessions.begin_vouched(who.name, who.role, who.opens, provider.host)
        return self._enter(request, token, way_back(kept.get("then")))

    def _ask_to_leave(self, request: Request) -> Response:
        session = self.sessions.of(self.token(request))
        if session is None:
            return RedirectResponse(SIGN_IN, 303)
        said = words.SIGN_OUT_ASK.format(name=session.name, role=session.role)
        fields, nonce = self._hidden("/")
        body = (
            f'<form method="post" action="{SIGN_OUT}"><p>{html.escape(said)}</p>{fields}'
            f'<button>{words.SIGN_OUT}</button></form><p><a href="/">{words.STAY}</a></p>'
        )
        return self._page(words.SIGN_OUT, body, nonce, 200)

    def _form(
        self, request: Request, alert: str, then: str, code: int = 200
    ) -> HTMLResponse:
        fields, nonce = self._hidden(then)
        body = f'<p role="alert">{html.escape(alert)}</p>' if alert else ""
        if self.accounts.exist():
            body += (
                f'<form method="post" action="{SIGN_IN}">{fields}'
                f'<label>{words.NAME}<input name="name" autocomplete="username" required '
                f'maxlength="64" autofocus></label><label>{words.PASSWORD}<input '
                'name="password" type="password" autocomplete="current-password" required '
                f'maxlength="128"></label><button>{words.SIGN_IN}</button></form>'
            )
        if self.provider is not None:
            said = words.WITH_PROVIDER.format(host=self.provider.host)
            body += f'<p><a href="{TO_PROVIDER}">{html.escape(said)}</a></p>'
        return self._page(words.SIGN_IN, body, nonce, code)

    def _page(self, title: str, body: str, nonce: str, code: int) -> HTMLResponse:
        page = HTMLResponse(_PAGE.format(language=tag(), title=title, body=body), code)
        page.headers["content-security-policy"] = POLICY
        self._keep(page, self.form_cookie, self._seal.dumps(nonce), "lax")
        return page

    def _hidden(self, then: str) -> tuple[str, str]:
        nonce = secrets.token_urlsafe(16)
        fields = (
            f'<input type="hidden" name="form" value="{nonce}">'
            f'<input type="hidden" name="then" value="{html.escape(then, quote=True)}">'
        )
        return fields, nonce

    def _fresh(self, request: Request, sent: str) -> bool:
        """Whether a form is one that this browser was given within the hour."""
        kept = self._kept(request)
        return isinstance(kept, str) and secrets.compare_digest(
            kept.encode(), sent.encode()
        )

    def _kept(self, request: Request) -> object:
        try:
            return self._seal.loads(
                request.cookies.get(self.form_cookie, ""), max_age=FORM_LASTS
            )
        except BadData:
            return None

    def _keep(self, answer: Response, name: str, value: str | bytes, site: str) -> None:
        text = value if isinstance(value, str) else value.decode("ascii")
        answer.set_cookie(
            name,
            text,
            path="/",
            httponly=True,
            secure=self.settings.secure,
            samesite="strict" if site == "strict" else "lax",
        )


def way_back(then: object) -> str:
    """A path of this server to go to after signing in; the start for anything else.

    >>> way_back("/object?o=FEN.1"), way_back("//elsewhere.example/"), way_back("/\\\\e")
    ('/object?o=FEN.1', '/', '/')
    """
    if not isinstance(then, str) or len(then) > 2000 or not then.startswith("/"):
        return "/"
    bad = then.startswith("//") or "\\" in then or any(ord(one) < 33 for one in then)
    parts = urlsplit(then) if not bad else None
    if parts is None or parts.scheme or parts.netloc:
        return "/"
    return "/" if parts.path in (SIGN_IN, SIGN_OUT, TO_PROVIDER, FROM_PROVIDER) else then


def _not_vouched(provider: Provider, why: NotVouched) -> str:
    return words.NOT_VOUCHED.format(host=provider.host, why=why)


async def _body(request: Request) -> dict[str, str] | None:
    """The fields of a form; None where it is longer than any of ours."""
    taken = b""
    async for part in request.stream():
        taken += part
        if len(taken) > MOST_FORM:
            return None
    try:
        fields = parse_qs(taken.decode("utf-8"), keep_blank_values=True, max_num_fields=9)
    except ValueError:
        return {}
    return {name: values[0] for name, values in fields.items()}
