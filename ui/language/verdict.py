"""Verdicts of the assessment, said in the language that is spoken.

An answer says its verdict as an English sentence that is built from a few forms with the
names of phases. Each form is found again here and said through the catalogue; names stay
as recorded. A sentence that fits no form stays in English, whole: nothing is guessed.
"""

import re
from functools import lru_cache

from . import words_verdict as words
from .chosen import speaking
from .wording import english, word

__all__ = ["verdict"]

_WHOLE = ("OPEN_BETWEEN", "OPEN_FAILS", "CORE")
_NAMED = ("OLD_LATER", "ADDED", "CAME", "WAS_IN", "LATER")
_ALONE = ("ORIGINAL", "ORIGINAL_OPEN", "UNTOLD", "NOT_ORIGINAL", "ORIGINAL_ANYHOW")
_BETWEEN = "; "


def verdict(text: str) -> str:
    """The sentence of a verdict in the language spoken."""
    return text if speaking() is None else _whole(text) or text


def _whole(text: str) -> str | None:
    for name in _WHOLE:
        found = _form(name).fullmatch(text)
        if found:
            [(field, inside)] = found.groupdict().items()
            told = [_account(one) for one in inside.split(_BETWEEN)]
            if None in told:
                return None
            joined = _BETWEEN.join(str(one) for one in told)
            return str(getattr(words, name)).format(**{field: joined})
    told = [_graded(one) for one in text.split(_BETWEEN)]
    return None if None in told else _BETWEEN.join(str(one) for one in told)


def _graded(text: str) -> str | None:
    found = _form("GRADED").fullmatch(text)
    if found is None or word(found["grade"]) == found["grade"]:
        return _anyhow(text)
    account = _anyhow(found["account"])
    if account is None:
        return None
    return words.GRADED.format(account=account, grade=word(found["grade"]))


def _anyhow(text: str) -> str | None:
    known = _account(text)
    found = _form("ANYHOW").fullmatch(text)
    if known is not None or found is None:
        return known
    account = _account(found["account"])
    return None if account is None else words.ANYHOW.format(account=account)


def _account(text: str) -> str | None:
    for name in _ALONE:
        if english(words, name) == text:
            return str(getattr(words, name))
    if word(text) != text:
        return word(text)
    for name in _NAMED:
        found = _form(name).fullmatch(text)
        if found:
            [(field, phases)] = found.groupdict().items()
            return str(getattr(words, name)).format(
                **{field: _listed(phases) if name == "LATER" else phases}
            )
    return None


def _listed(names: str) -> str:
    """Several phases: the last is joined by "and", unless names hold that word too."""
    found = _form("LAST_OF").fullmatch(names) if names.count(" and ") == 1 else None
    return words.LAST_OF.format(**found.groupdict()) if found else names


@lru_cache(maxsize=32)
def _form(name: str) -> re.Pattern[str]:
    """A form as a pattern, each placeholder taking what stands there."""
    parts = re.split(r"\{(\w+)\}", english(words, name))
    fixed = (re.escape(one) for one in parts[::2])
    named = [f"(?P<{one}>.+)" for one in parts[1::2]]
    return re.compile("".join(a + b for a, b in zip(fixed, [*named, ""], strict=True)))
