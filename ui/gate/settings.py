"""Settings of access: the address people type, and who vouches for them.

They stand in `access.toml` in the archive's folder and are written by hand:

    address = "https://vestige.example.org"
    proxies = ["127.0.0.1"]

    [provider]
    issuer = "https://login.example.org"
    client = "vestige"
    secret_file = "client-secret.txt"
    name_claim = "preferred_username"
    role_claim = "groups"

    [provider.roles]
    "conservation" = "conservator"
    "store" = "registrar"

    [provider.opens]
    "liaison" = ["community council"]

The secret is in a file beside it or in the environment variable VESTIGE_PROVIDER_SECRET.
"""

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from ipaddress import ip_address, ip_network
from pathlib import Path
from urllib.parse import urlsplit

from vestige.graph.errors import BadValue

from .account import role_of

SETTINGS_FILE = "access.toml"
SECRET = "VESTIGE_PROVIDER_SECRET"


@dataclass(frozen=True, slots=True)
class ProviderSettings:
    """Who vouches for people by OpenID Connect.

    Attributes:
        issuer: its address; `client` and `secret` are how it knows this server.
        name_claim: claim that names a person; role_claim: claim with their groups.
        roles: role of each group; whoever is in none is refused.
        opens: authorities that are opened to each group.
    """

    issuer: str
    client: str
    secret: str
    name_claim: str
    role_claim: str
    roles: Mapping[str, str]
    opens: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class AccessSettings:
    """How the archive is reached.

    Attributes:
        address: what people type, without a path; None for what the browser names.
        proxies: machines that stand before this server and are believed when they say, in
            X-Forwarded-For, who asks; so that one stranger's guesses do not shut out all.
        provider: who vouches for people; None where only local accounts do.
    """

    address: str | None = None
    provider: ProviderSettings | None = None
    proxies: tuple[str, ...] = ()

    @property
    def secure(self) -> bool:
        """Whether browsers reach it over TLS, so that cookies never leave it."""
        return bool(self.address) and urlsplit(self.address or "").scheme == "https"

    @classmethod
    def of(cls, folder: Path) -> "AccessSettings":
        """The settings of an archive; the usual ones where it has no file.

        Raises:
            BadValue: naming the key that is wrong and what would be right.
        """
        file = folder / SETTINGS_FILE
        if not file.exists():
            return cls()
        try:
            said = tomllib.loads(file.read_text("utf-8"))
        except (ValueError, OSError) as why:
            raise BadValue(f"{file} cannot be read: {why}") from None
        unknown = sorted(set(said) - {"address", "provider", "proxies"})
        if unknown:
            raise BadValue(f"{SETTINGS_FILE}: '{unknown[0]}' is no setting")
        provider = said.get("provider")
        address = said.get("address")
        if provider is not None and address is None:
            raise BadValue(
                f"{SETTINGS_FILE}: a provider sends people back to 'address'; write it, "
                'for example address = "https://vestige.example.org"'
            )
        return cls(
            None if address is None else checked("address", address).rstrip("/"),
            None if provider is None else _provider(folder, provider),
            _proxies(said.get("proxies", [])),
        )


def _proxies(said: object) -> tuple[str, ...]:
    if not isinstance(said, list):
        raise BadValue(f'{SETTINGS_FILE}: proxies is a list, as ["127.0.0.1"]')
    for one in said:
        try:
            ip_network(str(one))
        except ValueError:
            raise BadValue(
                f"{SETTINGS_FILE}: '{one}' under proxies is no address of a machine; "
                'write it as proxies = ["127.0.0.1"], or a network as "10.0.0.0/24"'
            ) from None
    return tuple(map(str, said))


def _provider(folder: Path, said: object) -> ProviderSettings:
    if not isinstance(said, dict):
        raise BadValue(f"{SETTINGS_FILE}: [provider] is a table")
    roles = said.get("roles")
    if not isinstance(roles, dict) or not roles:
        raise BadValue(
            f"{SETTINGS_FILE}: [provider.roles] gives each group its role, for example "
            '"conservation" = "conservator"'
        )
    opens = said.get("opens", {})
    return ProviderSettings(
        checked("issuer", said.get("issuer")).rstrip("/"),
        _text("client", said.get("client")),
        _secret(folder, said.get("secret_file")),
        _text("name_claim", said.get("name_claim", "preferred_username")),
        _text("role_claim", said.get("role_claim", "groups")),
        {str(group): role_of(str(role)) for group, role in roles.items()},
        {str(group): tuple(map(str, names)) for group, names in dict(opens).items()},
    )


def _secret(folder: Path, file: object) -> str:
    if SECRET in os.environ:
        return os.environ[SECRET]
    if not isinstance(file, str):
        raise BadValue(
            f"{SETTINGS_FILE}: write the secret into a file that only you can read and "
            f"name it as secret_file, or set {SECRET}"
        )
    try:
        return (folder / file).read_text("utf-8").strip()
    except OSError as why:
        raise BadValue(f"{SETTINGS_FILE}: secret_file: {why.strerror}: {file}") from None


def _text(name: str, said: object) -> str:
    if not isinstance(said, str) or not said.strip():
        raise BadValue(f"{SETTINGS_FILE}: '{name}' is missing")
    return said.strip()


def checked(name: str, said: object) -> str:
    """An address that may be trusted with a secret: TLS, or this machine.

    Raises:
        BadValue: where it is neither.
    """
    text = _text(name, said)
    parts = urlsplit(text)
    here = parts.scheme == "http" and is_here(parts.hostname or "")
    if not parts.hostname or not (parts.scheme == "https" or here):
        raise BadValue(
            f"{SETTINGS_FILE}: '{name}' is '{text}'; write a whole address that begins "
            "with https:// (http:// only on this machine)"
        )
    return text


def is_here(host: str) -> bool:
    """Whether a host name or address means this machine alone."""
    if host.casefold() == "localhost":
        return True
    try:
        return ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False
