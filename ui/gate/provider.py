"""OpenID Connect: an institution's own directory vouches for its people.

The code flow of OpenID Connect Core 1.0 (3.1) with PKCE (RFC 7636, S256), state and nonce.
The identity token is checked as section 3.1.3.7 asks: signature by the provider's own
keys, issuer, audience, time, nonce; unsigned tokens and those sealed with a shared secret
are refused. Nothing is fetched until somebody chooses to sign in this way.
"""

import base64
import hashlib
import json
import secrets
import urllib.error
import urllib.request
from collections.abc import Mapping
from dataclasses import dataclass
from typing import IO, Any
from urllib.parse import quote, urlencode, urlsplit

from vestige.graph.errors import BadValue

from . import words
from .account import ROLES, name_of
from .settings import ProviderSettings, checked

PATIENCE = 10.0
"""Seconds until a provider must have answered."""
MOST_ANSWER = 1_000_000
SIGNED_BY = ["RS256", "PS256", "ES256", "EdDSA"]
SKEW = 60
"""Seconds by which two clocks may differ."""


class NotVouched(Exception):
    """The provider did not vouch for somebody; the text says why, for them to read."""


@dataclass(frozen=True, slots=True)
class Vouched:
    """Somebody the provider vouches for, in the role that their groups give them."""

    name: str
    role: str
    opens: tuple[str, ...]


class Provider:
    """One provider, asked over the network only while somebody signs in.

    Args:
        settings: who it is and how its groups map to roles.
        back: address of this server that it sends people back to.
    """

    def __init__(self, settings: ProviderSettings, back: str) -> None:
        self.settings = settings
        self.back = back
        self.host = urlsplit(settings.issuer).netloc

    def begin(self, then: str) -> tuple[str, dict[str, str]]:
        """Where to send the browser, and what it is to keep until it comes back.

        Raises:
            NotVouched: where the provider does not answer as it should.
        """
        kept = {
            "state": secrets.token_urlsafe(24),
            "nonce": secrets.token_urlsafe(24),
            "verifier": secrets.token_urlsafe(48),
            "then": then,
        }
        digest = hashlib.sha256(kept["verifier"].encode()).digest()
        asked = {
            "response_type": "code",
            "scope": "openid profile",
            "client_id": self.settings.client,
            "redirect_uri": self.back,
            "state": kept["state"],
            "nonce": kept["nonce"],
            "code_challenge": base64.urlsafe_b64encode(digest).rstrip(b"=").decode(),
            "code_challenge_method": "S256",
        }
        where = self._endpoint(self._known(), "authorization_endpoint")
        return f"{where}{'&' if '?' in where else '?'}{urlencode(asked)}", kept

    def finish(self, query: Mapping[str, str], kept: Mapping[str, str]) -> Vouched:
        """Who came back.

        Raises:
            NotVouched: where anything does not fit what was begun.
        """
        state = str(kept.get("state") or "")
        sent = query.get("state", "")
        if not state or not secrets.compare_digest(state.encode(), sent.encode()):
            raise NotVouched(words.STALE)
        if query.get("iss", self.settings.issuer).rstrip("/") != self.settings.issuer:
            raise NotVouched("the answer came from another issuer (RFC 9207)")
        if "code" not in query:
            raise NotVouched(query.get("error", "it gave no code")[:80])
        known = self._known()
        token = self._token(known, query["code"], str(kept["verifier"]))
        return self._mapped(self._claims(known, token, str(kept["nonce"])))

    def _known(self) -> dict[str, Any]:
        known = self._fetch(f"{self.settings.issuer}/.well-known/openid-configuration")
        if str(known.get("issuer", "")).rstrip("/") != self.settings.issuer:
            raise NotVouched("it calls itself by another name than access.toml does")
        return known

    def _endpoint(self, known: Mapping[str, Any], name: str) -> str:
        try:
            return checked(name, known.get(name))
        except BadValue as why:
            raise NotVouched(str(why)) from None

    def _token(self, known: Mapping[str, Any], code: str, verifier: str) -> str:
        said = {
            "grant_type": "authorization_code",
            "code": code,
            "redirect_uri": self.back,
            "code_verifier": verifier,
        }
        # RFC 6749, 2.3.1: both halves are form-encoded before they are joined
        pair = f"{quote(self.settings.client, '')}:{quote(self.settings.secret, '')}"
        head = {"Authorization": f"Basic {base64.b64encode(pair.encode()).decode()}"}
        answer = self._fetch(self._endpoint(known, "token_endpoint"), said, head)
        if not isinstance(answer.get("id_token"), str):
            raise NotVouched("it gave no identity token")
        return str(answer["id_token"])

    def _claims(
        self, known: Mapping[str, Any], token: str, nonce: str
    ) -> Mapping[str, Any]:
        from joserfc import jwt
        from joserfc.errors import JoseError
        from joserfc.jwk import KeySet

        try:
            keys = KeySet.import_key_set(
                self._fetch(self._endpoint(known, "jwks_uri"))  # type: ignore[arg-type]
            )
            read = jwt.decode(token, keys, algorithms=SIGNED_BY)
            jwt.JWTClaimsRegistry(
                leeway=SKEW,
                iss={"essential": True, "value": known["issuer"]},
                aud={"essential": True, "value": self.settings.client},
                exp={"essential": True},
                iat={"essential": True},
                sub={"essential": True},
                nonce={"essential": True, "value": nonce},
            ).validate(read.claims)
        except (JoseError, ValueError, KeyError, TypeError) as why:
            raise NotVouched(f"its token does not hold ({type(why).__name__})") from None
        claims: dict[str, Any] = read.claims
        if isinstance(claims["aud"], list) and claims["aud"] != [self.settings.client]:
            raise NotVouched("its token is for others too")
        return claims

    def _mapped(self, claims: Mapping[str, Any]) -> Vouched:
        said = claims.get(self.settings.role_claim, ())
        groups = [said] if isinstance(said, str) else list(said or ())
        roles = {
            self.settings.roles[one]
            for one in map(str, groups)
            if one in self.settings.roles
        }
        role = next((one for one in ROLES if one in roles), None)
        if role is None:
            raise NotVouched(words.IN_NO_GROUP)
        opens = {
            name for one in map(str, groups) for name in self.settings.opens.get(one, ())
        }
        try:
            name = name_of(str(claims.get(self.settings.name_claim) or claims["sub"]))
        except BadValue as why:
            raise NotVouched(str(why)) from None
        return Vouched(name, role, tuple(sorted(opens)))

    def _fetch(
        self,
        address: str,
        form: Mapping[str, str] | None = None,
        head: Mapping[str, str] | None = None,
    ) -> dict[str, Any]:
        body = urlencode(form).encode() if form is not None else None
        sent = urllib.request.Request(
            address, body, {"Accept": "application/json", **(head or {})}
        )
        try:
            with _straight().open(sent, timeout=PATIENCE) as answer:
                said = json.loads(answer.read(MOST_ANSWER))
        except (OSError, ValueError) as why:
            code = why.code if isinstance(why, urllib.error.HTTPError) else "no answer"
            raise NotVouched(f"{urlsplit(address).path}: {code}") from None
        if not isinstance(said, dict):
            raise NotVouched(f"{urlsplit(address).path}: not an answer of its kind")
        return said


class _NoRedirect(urllib.request.HTTPRedirectHandler):
    """A secret goes where the settings say and nowhere that an answer names."""

    def redirect_request(
        self, req: Any, fp: IO[bytes], code: int, msg: str, headers: Any, newurl: str
    ) -> None:
        return None


def _straight() -> urllib.request.OpenerDirector:
    return urllib.request.build_opener(_NoRedirect)
