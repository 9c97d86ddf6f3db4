"""Sign-in by OpenID Connect, against a small provider on this machine."""

import base64
import hashlib
import json
import threading
import time
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from door_caller import BEHIND, Caller, door
from joserfc import jwt
from joserfc.jwk import OctKey, RSAKey

from vestige.ui.gate.settings import AccessSettings
from vestige.ui.gate.sign_in import FROM_PROVIDER, TO_PROVIDER

SECRET = "a secret: with/signs"
SETTINGS = """address = "http://127.0.0.1:8641"
[provider]
issuer = "{issuer}"
client = "vestige"
secret_file = "secret.txt"
[provider.roles]
"store" = "registrar"
"everybody" = "guest"
[provider.opens]
"liaison" = ["CCL"]
"""


class Directory:
    """A provider that vouches for one person and says what a test wants."""

    def __init__(self) -> None:
        self.key = RSAKey.generate_key(2048, parameters={"kid": "one", "use": "sig"})
        self.signs: Any = self.key
        self.alg = "RS256"
        self.claims: dict[str, Any] = {}
        self.groups: Any = ["everybody", "store", "liaison"]
        self.known: dict[str, Any] = {}
        self.asked: list[str] = []
        self.challenge = self.nonce = ""
        self.server = ThreadingHTTPServer(("127.0.0.1", 0), _handler(self))
        self.issuer = f"http://127.0.0.1:{self.server.server_port}"

    def document(self, path: str) -> Any:
        self.asked.append(path)
        if path.endswith("openid-configuration"):
            ends = ("authorization_endpoint", "token_endpoint", "jwks_uri")
            here = {name: f"{self.issuer}/{name}" for name in ends}
            return {"issuer": self.issuer, **here, **self.known}
        return {"keys": [self.key.as_dict(private=False)]}

    def token(self, form: dict[str, str], authorization: str) -> Any:
        self.asked.append("/token_endpoint")
        pair = base64.b64decode(authorization.removeprefix("Basic ")).decode()
        digest = hashlib.sha256(form["code_verifier"].encode()).digest()
        sealed = base64.urlsafe_b64encode(digest).rstrip(b"=").decode()
        # RFC 6749, 2.3.1 (client's own secret, form-encoded) and RFC 7636, 4.6
        if pair != "vestige:a%20secret%3A%20with%2Fsigns" or sealed != self.challenge:
            return {"error": "invalid_client"}
        now = int(time.time())
        claims = {
            "iss": self.issuer, "aud": "vestige", "sub": "1", "iat": now, "exp": now + 300,
            "nonce": self.nonce, "preferred_username": "ines", "groups": self.groups,
        }  # fmt: skip
        said = {name: one for name, one in {**claims, **self.claims}.items() if one != ""}
        head = {"alg": self.alg, "kid": "one"}
        if self.alg == "none":
            parts = [json.dumps(one).encode() for one in (head, said)]
            text = [base64.urlsafe_b64encode(one).rstrip(b"=").decode() for one in parts]
            return {"id_token": ".".join([*text, ""])}
        return {"id_token": jwt.encode(head, said, self.signs, algorithms=[self.alg])}


def _handler(directory: Directory) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self._say(directory.document(self.path))

        def do_POST(self) -> None:
            size = int(self.headers["content-length"])
            form = {k: v[0] for k, v in parse_qs(self.rfile.read(size).decode()).items()}
            self._say(directory.token(form, self.headers["authorization"]))

        def _say(self, said: Any) -> None:
            body = json.dumps(said).encode()
            self.send_response(200)
            self.send_header("content-length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, format: str, *args: Any) -> None:
            pass

    return Handler


@pytest.fixture
def directory() -> Iterator[Directory]:
    one = Directory()
    running = threading.Thread(target=one.server.serve_forever, args=(0.02,))
    running.start()
    yield one
    one.server.shutdown()
    one.server.server_close()
    running.join()


@pytest.fixture
def caller(directory: Directory, tmp_path: Path) -> Caller:
    (tmp_path / "access.toml").write_text(SETTINGS.format(issuer=directory.issuer), "utf-8")
    (tmp_path / "secret.txt").write_text(SECRET + "\n", "utf-8")
    return Caller(door(tmp_path, settings=AccessSettings.of(tmp_path)))


def come_back(directory: Directory, caller: Caller, **more: str) -> Any:
    """Go to the provider as a browser does, and come back with what it gives."""
    sent = caller.ask(f"{TO_PROVIDER}?then=/object")
    assert sent.status == 303
    asked = {k: v[0] for k, v in parse_qs(urlsplit(sent.header("location")).query).items()}
    assert asked["redirect_uri"] == f"http://127.0.0.1:8641{FROM_PROVIDER}"
    assert asked["code_challenge_method"] == "S256"
    directory.challenge, directory.nonce = asked["code_challenge"], asked["nonce"]
    query = {"code": "c", "state": asked["state"], **more}
    return caller.ask(f"{FROM_PROVIDER}?{'&'.join(f'{k}={v}' for k, v in query.items())}")


def test_a_person_is_let_in_by_role_and_authority_of_their_groups(
    directory: Directory, caller: Caller
) -> None:
    assert caller.ask("/object").status == 401
    assert directory.asked == []  # nothing is fetched before somebody asks for it
    done = come_back(directory, caller)
    assert (done.status, done.header("location")) == (303, "/object")
    assert caller.ask("/object").body == BEHIND
    session = caller.door.sign_in.sessions.of(caller.cookies["vestige"])
    assert session is not None
    assert (session.name, session.role, session.opens) == ("ines", "registrar", ("CCL",))


def test_who_is_in_no_group_with_a_role_is_refused(
    directory: Directory, caller: Caller
) -> None:
    directory.groups = ["liaison", "Store"]
    answer = come_back(directory, caller)
    assert answer.status == 403
    assert b"none of your groups" in answer.body
    assert caller.ask("/object").status == 401


@pytest.mark.parametrize(
    "claims",
    [{"iss": "https://elsewhere.example"}, {"aud": "another"}, {"aud": ["vestige", "b"]},
     {"exp": 1000}, {"exp": ""}, {"nonce": "another"}, {"nonce": ""}, {"sub": ""},
     {"iat": ""}, {"preferred_username": "a\nb"}],
    ids=str,
)  # fmt: skip
def test_a_token_that_does_not_fit_lets_nobody_in(
    directory: Directory, caller: Caller, claims: dict[str, Any]
) -> None:
    # OpenID Connect Core 1.0, 3.1.3.7: issuer, audience, time, nonce
    directory.claims = claims
    assert come_back(directory, caller).status == 403
    assert caller.ask("/object").status == 401


@pytest.mark.parametrize("how", ["none", "shared secret", "another key"])
def test_a_token_that_the_provider_did_not_sign_lets_nobody_in(
    directory: Directory, caller: Caller, how: str
) -> None:
    if how == "none":
        directory.alg = "none"
    elif how == "shared secret":
        directory.alg, directory.signs = "HS256", OctKey.import_key("x" * 32)
    else:
        directory.signs = RSAKey.generate_key(2048, parameters={"kid": "one"})
    assert come_back(directory, caller).status == 403
    assert caller.ask("/object").status == 401


def test_an_answer_that_nobody_began_here_lets_nobody_in(
    directory: Directory, caller: Caller
) -> None:
    assert Caller(caller.door).ask(f"{FROM_PROVIDER}?code=c&state=").status == 403
    assert come_back(directory, caller, state="another").status == 403
    assert come_back(directory, caller, iss="https://elsewhere.example").status == 403


@pytest.mark.parametrize(
    "known",
    [{"issuer": "https://elsewhere.example"}, {"token_endpoint": "http://192.0.2.1/t"},
     {"jwks_uri": "file:///etc/hostname"}],
    ids=str,
)  # fmt: skip
def test_a_provider_that_names_unfit_addresses_is_not_followed(
    directory: Directory, caller: Caller, known: dict[str, Any]
) -> None:
    sent = caller.ask(TO_PROVIDER)
    asked = parse_qs(urlsplit(sent.header("location")).query)
    directory.challenge, directory.nonce = asked["code_challenge"][0], asked["nonce"][0]
    directory.known = known
    back = caller.ask(f"{FROM_PROVIDER}?code=c&state={asked['state'][0]}")
    assert back.status == 403


def test_a_provider_that_is_silent_is_told_in_words(
    directory: Directory, caller: Caller
) -> None:
    directory.known = {"issuer": "https://elsewhere.example"}
    answer = caller.ask(TO_PROVIDER)
    assert answer.status == 502
    assert b"did not vouch" in answer.body
