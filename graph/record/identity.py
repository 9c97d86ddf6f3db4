"""Names that never change: keys of records, codes on labels, and museum numbers.

A **key** is 20 characters of Crockford's base 32 (no I, L, O, U): ten for the
milliseconds since 1970, ten at random. Keys sort by the time they were made and say
nothing about the thing.

A **label code** is what is written on a tag and typed again: ``V-XXXXX-XXXXX-C``, the ten
random characters of the key and one check character by ISO 7064, MOD 37-2. It is unique
in practice, not by force: 2^50 codes, so that among a million keys the chance that any
two share a code is about 1 in 2,000; whoever looks a code up must be ready to find two.
MOD 37-2 finds every wrong character and every exchange of two characters, neighbours or
not (2 is of order 36 modulo 37, longer than the code); MOD 37-36 misses about 2 in 100.
Its check character may be I, L, O, U or ``*``; ``new_key`` passes over such keys.

A **museum number** is the museum's own; ``fold_number`` says when two spellings are one.
"""

import random
import re
import secrets
import threading
import time
import unicodedata
from collections.abc import Callable
from functools import cache
from typing import Final

from ..errors import BadValue

CROCKFORD: Final = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

_HALF: Final = 10  # characters, of 5 bits each
_BITS: Final = 5 * _HALF
_KEY = re.compile(f"[{CROCKFORD}]{{20}}")
_MISREAD: Final = str.maketrans("OIL", "011")
_SEEDED_START: Final = 1_000_000_000_000  # ms; 2001-09-09, only for seeded key makers
_INVISIBLE: Final = dict.fromkeys(map(ord, "\u200b\u200c\u200d\u2060\ufeff"))


def new_key(at_ms: int, entropy: bytes) -> str:
    """A key for a thing made at a time.

    Args:
        at_ms: milliseconds since 1970, 0 to 2^50 - 1.
        entropy: at least 7 random bytes; their first 50 bits are used. Where the label
            code would end in a character that is easily misread, the next number is taken.

    Raises:
        ValueError: wrong call, time out of range or too few bytes.
    """
    if len(entropy) < 7:
        raise ValueError(f"7 random bytes are needed, not {len(entropy)}")
    return _plain_key(at_ms, int.from_bytes(entropy[:7]) >> (56 - _BITS))


def _plain_key(at_ms: int, number: int) -> str:
    """The first key from a number on whose label code bears a plain check character."""
    while True:
        tail = _base32(number % (1 << _BITS))
        if _check_of(tail) in CROCKFORD:
            return _base32(at_ms) + tail
        number += 1


def _base32(number: int) -> str:
    if not 0 <= number < 1 << _BITS:
        raise ValueError(f"{number} does not fit into {_HALF} characters")
    return "".join(CROCKFORD[number >> shift & 31] for shift in range(_BITS - 5, -1, -5))


class KeyMaker:
    """Makes keys that only go up, also within a millisecond; may be used by many threads.

    Args:
        seed: the same seed makes the same keys; without it they are drawn from the
            operating system.
        clock: milliseconds since 1970; by default the clock of the machine, or, with a
            seed, a count from a fixed day.
    """

    def __init__(self, seed: int | None = None, clock: Callable[[], int] | None = None):
        self._draw = secrets.token_bytes if seed is None else random.Random(seed).randbytes
        self._clock = clock or (_machine_ms if seed is None else _counter())
        self._lock = threading.Lock()
        self._last = ""

    def new(self) -> str:
        """The next key; greater than every key this maker made before."""
        with self._lock:
            key = new_key(self._clock(), self._draw(7))
            if key <= self._last:
                key = _after(self._last)
            self._last = key
            return key


def _machine_ms() -> int:
    return time.time_ns() // 1_000_000


def _counter() -> Callable[[], int]:
    ticks = iter(range(_SEEDED_START, 1 << _BITS))
    return lambda: next(ticks)


def _after(key: str) -> str:
    """The next key of the same millisecond; of the next one when that is full."""
    at_ms, tail = _number_of(key[:_HALF]), _number_of(key[_HALF:]) + 1
    follower = _plain_key(at_ms, tail)
    return follower if follower > key else _plain_key(at_ms + 1, 0)


def _number_of(text: str) -> int:
    number = 0
    for sign in text:
        number = number * 32 + CROCKFORD.index(sign)
    return number


@cache
def _check_digits() -> Callable[[str], str]:
    from stdnum.iso7064 import mod_37_2

    calculate: Callable[[str], str] = mod_37_2.calc_check_digit
    return calculate


def _check_of(tail: str) -> str:
    return _check_digits()(tail)


def label_code(key: str) -> str:
    """The code for the label of a thing: ``V-XXXXX-XXXXX-C``.

    Raises:
        BadValue: the key is not one of Vestige.
    """
    if not _KEY.fullmatch(key):
        raise BadValue(f"{key!r} is not a key of Vestige; it has 20 characters 0-9 and A-Z")
    tail = key[_HALF:]
    return f"V-{tail[:5]}-{tail[5:]}-{_check_of(tail)}"


def read_label_code(text: str) -> str:
    """The last ten characters of the key that a typed label code stands for.

    Small letters, blanks and missing dashes do not matter; O is read as 0, I and L as 1.

    Raises:
        BadValue: too short or long, a character that no code bears, or a check character
            that does not fit: one character is wrong, or two have changed places.
    """
    bare = "".join(sign for sign in text.upper() if not sign.isspace() and not _dash(sign))
    if len(bare) != _HALF + 2 or bare[0] != "V":
        raise BadValue(
            f"{text!r} is not a label code: it has {len(bare)} characters and begins with "
            f"{bare[:1]!r}; write V, ten characters and a check character: V-XXXXX-XXXXX-C"
        )
    tail = bare[1:-1].translate(_MISREAD)
    strange = sorted(set(tail) - set(CROCKFORD))
    if strange:
        raise BadValue(
            f"{text!r} is not a label code: no code bears {', '.join(strange)}; "
            "look at the label again"
        )
    # O may be typed for a check character 0, but 0 never for O: that would let errors pass.
    if _check_of(tail) not in (bare[-1], bare[-1].translate(_MISREAD)):
        raise BadValue(
            f"{text!r} is not a label code: its check character {bare[-1]} does not fit, "
            "one character is wrong or two have changed places; look at the label again"
        )
    return tail


def _dash(sign: str) -> bool:
    return unicodedata.category(sign) == "Pd" or sign == "−"


def fold_number(text: str) -> str:
    """A museum number in the form in which numbers are compared; never shown.

    Case, blanks around, runs of blanks within and the kind of dash make no difference;
    marks that cannot be seen are dropped. Everything else does: ``A.1`` is not ``A1``,
    ``007`` is not ``7``, ``1²`` is not ``12``.
    """
    visible = unicodedata.normalize("NFC", text).translate(_INVISIBLE)
    dashed = "".join("-" if _dash(sign) else sign for sign in visible)
    return unicodedata.normalize("NFC", " ".join(dashed.casefold().split()))
