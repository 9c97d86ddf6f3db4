"""Nobody passes the door without a session, however they ask."""

from pathlib import Path

import pytest
from door_caller import BEHIND, CHEAP, WORDS, Caller, Time, door
from hypothesis import given
from hypothesis import strategies as st
from itsdangerous import URLSafeSerializer

from vestige.ui.gate.account import Accounts
from vestige.ui.gate.session import HOURS
from vestige.ui.gate.settings import AccessSettings
from vestige.ui.gate.sign_in import SIGN_IN, SIGN_OUT, way_back
from vestige.ui.gate.throttle import FREE

ADDRESSES = (
    "/", "/object", "/record?id=KV8b", "/_stcore/health", "/_stcore/host-config",
    "/media/0f3a.jpg", "/static/js/main.js", "/app/static/x.png", "/_stcore/upload_file/1",
    "/component/x/index.html", "/sign-in/", "/SIGN-IN", "/sign-in/../object", "/x.png",
)  # fmt: skip
TLS = AccessSettings("https://vestige.example.org")


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    accounts = Accounts(tmp_path, CHEAP)
    accounts.add("ines", "conservator", WORDS, ("CCL",))
    accounts.add("guest", "guest", WORDS)
    return tmp_path


@pytest.mark.parametrize("address", ADDRESSES)
def test_no_address_answers_without_a_session(archive: Path, address: str) -> None:
    answer = Caller(door(archive)).ask(address)
    assert answer.status in (400, 401)
    assert BEHIND not in answer.body


def test_a_web_socket_does_not_open_without_a_session(archive: Path) -> None:
    assert Caller(door(archive)).socket() == [{"type": "websocket.close", "code": 1008}]


def test_a_page_sends_to_the_form_and_back_again(archive: Path) -> None:
    caller = Caller(door(archive))
    sent = caller.ask("/record?id=KV8b", headers={"accept": "text/html"})
    assert sent.header("location") == "/sign-in?then=%2Frecord%3Fid%3DKV8b"
    done = caller.sign_in("ines", then="/record?id=KV8b")
    assert (done.status, done.header("location")) == (303, "/record?id=KV8b")
    assert caller.ask("/record?id=KV8b").body == BEHIND
    assert [one["type"] for one in caller.socket()][:2] == [
        "websocket.accept",
        "websocket.send",
    ]


@pytest.mark.parametrize("settings", [None, TLS], ids=["plain", "tls"])
def test_cookies_are_out_of_reach_of_scripts_and_other_sites(
    archive: Path, settings: AccessSettings | None
) -> None:
    # OWASP ASVS 4.0.3, 3.4.1 to 3.4.4 (from memory): Secure, HttpOnly, SameSite, __Host-
    cookie = Caller(door(archive, settings=settings)).sign_in("ines").cookies[0]
    flags = {one.strip().casefold() for one in cookie.split(";")[1:]}
    assert {"httponly", "samesite=lax", "path=/"} <= flags
    assert not any(one.startswith("domain") for one in flags)
    assert (settings is TLS) is ("secure" in flags) is cookie.startswith("__Host-")


def test_a_forged_session_is_no_session(archive: Path) -> None:
    caller = Caller(door(archive))
    caller.sign_in("ines")
    good = caller.cookies["vestige"]
    number = good.rpartition(".")[0]
    other = URLSafeSerializer("another key", salt="vestige session")
    forged = ["", "x", good[:-1], good + "A", number, f"{number}.", "A" * 5000,
              str(other.dumps("anything"))]  # fmt: skip
    for one in forged:
        caller.cookies["vestige"] = one
        assert caller.ask("/object").status == 401
    caller.cookies["vestige"] = good
    assert caller.ask("/object").status == 200


def test_a_session_of_another_start_is_no_session(archive: Path) -> None:
    before = Caller(door(archive))
    before.sign_in("ines")
    assert Caller(door(archive), before.cookies).ask("/object").status == 401


def test_a_session_is_over_after_its_hours(archive: Path) -> None:
    time = Time()
    caller = Caller(door(archive, clock=time))
    caller.sign_in("ines")
    time.now += HOURS * 3600 - 1
    assert caller.ask("/object").status == 200
    time.now += 1
    assert caller.ask("/object").status == 401
    assert caller.socket() == [{"type": "websocket.close", "code": 1008}]


def test_what_is_put_into_a_browser_beforehand_is_no_session_after(archive: Path) -> None:
    stranger = Caller(door(archive))
    stranger.sign_in("guest")
    planted = stranger.cookies["vestige"]
    victim = Caller(stranger.door, {"vestige": planted})
    victim.sign_in("ines")
    assert victim.cookies["vestige"] != planted
    assert victim.ask("/object").status == 200
    assert stranger.ask("/object").status == 401


def test_signing_out_ends_the_session_for_whoever_holds_it(archive: Path) -> None:
    caller = Caller(door(archive))
    caller.sign_in("ines")
    held = dict(caller.cookies)
    page = caller.ask(SIGN_OUT).body.decode()
    form = page.split('name="form" value="')[1].split('"')[0]
    assert caller.post(SIGN_OUT, {"form": form}).header("location") == SIGN_IN
    assert Caller(caller.door, held).ask("/object").status == 401


@pytest.mark.parametrize("change", ["remove", "role", "password"])
def test_a_change_of_the_account_ends_its_sessions(archive: Path, change: str) -> None:
    caller, other = Caller(door(archive)), Accounts(archive, CHEAP)
    caller.sign_in("ines")
    assert caller.ask("/object").status == 200
    if change == "remove":
        other.remove("ines")
    elif change == "role":
        other.set_role("ines", "guest")
    else:
        other.set_password("ines", WORDS + " more")
    assert caller.ask("/object").status == 401


def test_an_open_web_socket_ends_with_its_session(archive: Path) -> None:
    caller = Caller(door(archive))
    caller.sign_in("ines")
    sessions, asked = caller.door.sign_in.sessions, []
    known = sessions.of

    def of(token: str | None) -> object:
        asked.append(token)
        return known(token) if len(asked) < 4 else None

    sessions.of = of  # type: ignore[method-assign, assignment]
    kinds = [one["type"] for one in caller.socket(messages=5)]
    assert kinds[-1] == "websocket.close"
    assert kinds.count("websocket.send") < 5


def test_a_web_socket_of_another_site_does_not_open(archive: Path) -> None:
    caller = Caller(door(archive))
    caller.sign_in("ines")
    sent = caller.socket(headers={"origin": "https://elsewhere.example"})
    assert sent == [{"type": "websocket.close", "code": 1008}]


@pytest.mark.parametrize(
    "headers",
    [{"origin": "https://elsewhere.example"}, {"origin": "null"},
     {"sec-fetch-site": "cross-site"}],
)  # fmt: skip
def test_a_form_sent_by_another_site_signs_nobody_in(
    archive: Path, headers: dict[str, str]
) -> None:
    caller = Caller(door(archive))
    page = caller.ask(SIGN_IN).body.decode()
    form = page.split('name="form" value="')[1].split('"')[0]
    said = {"form": form, "name": "ines", "password": WORDS}
    assert caller.post(SIGN_IN, said, **headers).status == 403
    assert caller.sign_in("ines").status == 303


def test_a_form_that_was_not_given_to_this_browser_signs_nobody_in(archive: Path) -> None:
    caller = Caller(door(archive))
    said = {"form": "made up", "name": "ines", "password": WORDS}
    assert caller.post(SIGN_IN, said).status == 403
    assert Caller(caller.door).post(SIGN_IN, said).status == 403


def test_guesses_are_slowed_also_for_the_right_password(archive: Path) -> None:
    time = Time()
    caller = Caller(door(archive, clock=time))
    said = [caller.sign_in("ines", "no such words").status for _ in range(FREE)]
    assert said == [401] * FREE
    late = caller.sign_in("ines")
    assert (late.status, late.header("retry-after")) == (429, "61")
    other = Caller(caller.door, client=("192.0.2.7", 1))
    assert other.sign_in("ines").status == 303  # a stranger has not shut the owner out
    time.now += 61
    assert caller.sign_in("ines").status == 303


def test_many_names_from_one_address_are_slowed_too(archive: Path) -> None:
    caller = Caller(door(archive))
    said = [caller.sign_in(f"name {n}", "no such words").status for n in range(30)]
    assert said[0] == 401
    assert said[-1] == 429


def test_an_unknown_name_is_told_nothing_more_than_a_wrong_password(archive: Path) -> None:
    wrong = Caller(door(archive)).sign_in("ines", "no such words")
    unknown = Caller(door(archive)).sign_in("nobody", "no such words")
    strip = [one.body.split(b'name="form"')[0] for one in (wrong, unknown)]
    assert (wrong.status, strip[0]) == (unknown.status, strip[1])


@pytest.mark.parametrize(
    "then",
    ["https://elsewhere.example", "//elsewhere.example", "/\\elsewhere.example",
     "javascript:1", "/\t/e.example", "\\\\e.example", "///e.example", "/a\r\nb: c"],
)  # fmt: skip
def test_signing_in_never_leads_to_another_site(archive: Path, then: str) -> None:
    assert Caller(door(archive)).sign_in("ines", then=then).header("location") == "/"


@given(st.text(max_size=40))
def test_the_way_back_is_always_a_path_of_ours(text: str) -> None:
    way = way_back(text)
    assert way.startswith("/")
    assert not way.startswith("//")
    assert "\\" not in way


@pytest.mark.parametrize(
    "path",
    ["/media/../../accounts.json", "/static/%2e%2e/%2e%2e/accounts.json",
     "/x/..%2faccounts", "/media/%252e%252e/accounts.json", "/media\\..\\a.json",
     "/media/%00.jpg", "/..%5caccounts.json"],
)  # fmt: skip
def test_a_path_that_climbs_is_refused_also_with_a_session(
    archive: Path, path: str
) -> None:
    caller = Caller(door(archive))
    caller.sign_in("ines")
    assert caller.ask(path).status == 400


def test_headers_beyond_measure_are_refused(archive: Path) -> None:
    # RFC 6585, 5: 431 Request Header Fields Too Large
    caller = Caller(door(archive))
    assert caller.ask("/", headers={"x": "a" * 20_000}).status == 431
    assert caller.ask("/" + "a" * 20_000).status == 431
    assert caller.post(SIGN_IN, {"name": "a" * 20_000}).status == 413


def test_a_script_as_a_name_is_shown_as_its_text(archive: Path) -> None:
    script = '<script>alert(1)</script>"x'
    Accounts(archive, CHEAP).add(script, "guest", WORDS)
    caller = Caller(door(archive))
    assert caller.sign_in(script).status == 303
    page = caller.ask(SIGN_OUT)
    assert b"<script" not in page.body
    assert b"&lt;script&gt;" in page.body
    assert "default-src 'none'" in page.header("content-security-policy")
    tempting = caller.ask('/sign-in?then=/"><script>')
    assert b"<script" not in tempting.body


def test_answers_are_not_kept_or_guessed_by_browsers(archive: Path) -> None:
    caller = Caller(door(archive))
    caller.sign_in("ines")
    answer = caller.ask("/media/0f3a.jpg")
    assert answer.header("cache-control") == "private, no-store"
    assert answer.header("x-content-type-options") == "nosniff"


def test_without_accounts_only_this_machine_is_served(tmp_path: Path) -> None:
    here = Caller(door(tmp_path))
    assert here.ask("/object").body == BEHIND
    assert Caller(here.door, client=("192.0.2.7", 1)).ask("/object").status == 403
    assert here.ask("/object", headers={"host": "rebound.example"}).status == 403
    assert here.socket(headers={"origin": "https://elsewhere.example"})[0]["code"] == 1008
    assert here.ask("/media/1", headers={"sec-fetch-site": "cross-site"}).status == 403


def test_the_first_account_closes_a_door_that_stands_open(tmp_path: Path) -> None:
    caller = Caller(door(tmp_path))
    assert caller.ask("/object").status == 200
    accounts = Accounts(tmp_path, CHEAP)
    accounts.add("ines", "conservator", WORDS)
    assert caller.ask("/object").status == 401
    accounts.remove("ines")  # nobody is left: it stays closed
    assert caller.ask("/object").status == 401
