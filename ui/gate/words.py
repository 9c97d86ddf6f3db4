"""What the gate says, in one place so that it can be translated."""

from ..language import translatable

SIGN_IN = "Sign in"
SIGN_OUT = "Sign out"
NAME = "Name"
PASSWORD = "Password"
WRONG = "Name or password is wrong."
TOO_MANY = "Too many tries. Wait {seconds} seconds, then try again."
STALE = "This page had lain open too long. Try again."
ELSEWHERE = "This was sent from another page and was not done."
OVER = "Nobody is signed in here, or the time is over. Sign in."
WITH_PROVIDER = "Sign in with {host}"
SIGN_OUT_ASK = "Signed in as {name} ({role}). Sign out?"
STAY = "Stay"
NOT_VOUCHED = "{host} did not vouch for you: {why}"
IN_NO_GROUP = "none of your groups has a role in this archive; ask who keeps it"
MALFORMED = "This address or its headers cannot be read."
TOO_LARGE = "The headers are too large."
TOO_LONG = "What was sent is too long."
NOT_HERE = "Without accounts these pages are for this machine only."
ONLY_HERE = "this machine only, one user, no sign-in; end it with Ctrl+C"
SIGNED_IN_ONLY = "sign-in needed; end it with Ctrl+C"
NEEDS_ACCOUNTS = (
    "without accounts the pages are for this machine only; make one with "
    "'vestige account add NAME --role conservator', then use --listen again"
)
NO_TLS = (
    "WARNING: what is sent between browsers and this machine is not encrypted, passwords "
    "too.\nPut a reverse proxy with TLS before it and write its address into access.toml "
    '(address = "https://..."), or use it only in a network you trust.'
)
BEHIND_PROXY = (
    "expects a reverse proxy with TLS at {address}; who reaches this port past it is not "
    "encrypted"
)
GATE_MISSING = "This archive has accounts: start its pages with 'vestige serve'."
SIGNED_IN_AS = "Signed in as {name}, {role}."
READS_ONLY = "This role reads and records nothing."
NO_LOG = (
    "this view would show restricted content and could not be noted in {file} ({why}); "
    "nothing is shown"
)

translatable(__name__)
