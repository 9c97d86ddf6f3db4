"""Catalogues of translations: gettext PO files, checked before any page may use them.

A catalogue lies in this package, or in the folder `languages` of an archive, where a
museum keeps its own; the museum's wins, message by message. A translation that names
other placeholders than the English, or that brings mark-up along, is not used: the page
then shows the English, and `python -m vestige.ui.language check` says what is wrong.
Fuzzy translations are not used either, as is the custom of gettext.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from string import Formatter
from types import MappingProxyType
from typing import Final

__all__ = [
    "ENGLISH",
    "HERE",
    "MUSEUM_FOLDER",
    "Catalogue",
    "Fault",
    "catalogue_of",
    "fault_in",
    "files_of",
    "languages",
    "retold",
]

HERE: Final = Path(__file__).parent
ENGLISH: Final = "en"
MUSEUM_FOLDER: Final = "languages"
"""Folder of an archive in which a museum keeps catalogues of its own."""
MOST_BYTES: Final = 4_000_000
"""A catalogue of more is no catalogue of these pages."""
_NAME = re.compile(r"[a-z]{2,3}(_[A-Za-z]{2,4})*")
_MARKUP = re.compile(r"[<>\"&`]|\]\(|!\[|[\u202a-\u202e\u2066-\u2069]|[\x00-\x08\x0b-\x1f]")

Key = tuple[str, str]
"""Context ("" for none) and the English."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a translation, or a whole file, is not used.

    Attributes:
        file: name of the file.
        english: the message; "" where the whole file is meant.
        wrong: what is wrong with it.
    """

    file: str
    english: str
    wrong: str

    def __str__(self) -> str:
        about = f" {self.english!r}:" if self.english else ""
        return f"{self.file}:{about} {self.wrong}"


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The translations of one language that may be used.

    Attributes:
        language: as in the name of its file, e.g. "de" or "pt_BR".
        texts: translation by context and English.
        faults: what was left out, and why.
    """

    language: str
    texts: Mapping[Key, str] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()

    def said(self, english: str, *contexts: str) -> str:
        """The translation in the first of the contexts that has one, else the English."""
        for context in contexts or ("",):
            text = self.texts.get((context, english))
            if text is not None:
                return text
        return english


@lru_cache(maxsize=64)
def _fields(text: str) -> frozenset[tuple[str, str, str]]:
    """Placeholders of a text: name, format and conversion.

    Raises:
        ValueError: where a brace stands alone.
    """
    return frozenset(
        (name, spec or "", turn or "")
        for _, name, spec, turn in Formatter().parse(text)
        if name is not None
    )


def _listed(fields: frozenset[tuple[str, str, str]]) -> str:
    return " ".join(f"{{{name}}}" for name, _, _ in sorted(fields)) or "none"


def fault_in(english: str, said: str) -> str | None:
    """What forbids a translation; None where nothing does.

    >>> fault_in("{count} found", "{count} gefunden")
    >>> fault_in("{count} found", "{count.__class__} gefunden")
    'its placeholders are {count.__class__}; the English has {count}'
    """
    try:
        theirs = _fields(said)
    except ValueError:
        return "a brace stands alone in it"
    ours = _fields(english)
    if theirs != ours:
        got, wanted = _listed(theirs), _listed(ours)
        return f"its placeholders are {got}; the English has {wanted}"
    brought = {one for one in _MARKUP.findall(said) if one not in english}
    if brought:
        shown = " ".join(sorted(repr(one) for one in brought))
        return f"it brings signs along that could be mark-up: {shown}"
    return None


def files_of(archive: Path | None = None) -> dict[str, tuple[Path, ...]]:
    """Catalogue files by language, the package's before the museum's."""
    folders = [HERE] + ([archive / MUSEUM_FOLDER] if archive else [])
    found: dict[str, tuple[Path, ...]] = {}
    for folder in folders:
        for file in sorted(folder.glob("*.po")):
            if _NAME.fullmatch(file.stem) and file.stem != ENGLISH:
                found[file.stem] = (*found.get(file.stem, ()), file)
    return found


def retold(text: str, now: Catalogue | None, archive: Path | None = None) -> str:
    """A text that a page said in any language, in the language of *now*.

    An address may name a view or a kind in the language of who passed it on. What no
    catalogue knows is given back as it is.
    """
    contexts = ("word", "")
    english = next(
        (
            key[1]
            for language in files_of(archive)
            for key, said in catalogue_of(language, archive).texts.items()
            if said == text and key[0] in contexts
        ),
        text,
    )
    return now.said(english, *contexts) if now else english


def languages(archive: Path | None = None) -> tuple[str, ...]:
    """Every language there is a catalogue of, English first."""
    return (ENGLISH, *sorted(files_of(archive)))


def catalogue_of(language: str, archive: Path | None = None) -> Catalogue:
    """The catalogue of a language; an empty one, which shows the English, where there
    is none. A file that changed is read again."""
    files = files_of(archive).get(language, ())
    return _read_all(language, tuple((file, file.stat().st_mtime_ns) for file in files))


@lru_cache(maxsize=32)
def _read_all(language: str, files: tuple[tuple[Path, int], ...]) -> Catalogue:
    texts: dict[Key, str] = {}
    faults: list[Fault] = []
    for file, _ in files:
        for key, said in _read(file, faults):
            wrong = fault_in(key[1], said)
            if wrong:
                faults.append(Fault(file.name, key[1], wrong))
            else:
                texts[key] = said
    return Catalogue(language, MappingProxyType(texts), tuple(faults))


def _read(file: Path, faults: list[Fault]) -> Iterator[tuple[Key, str]]:
    """Messages of a file that are translated and not fuzzy."""
    from babel.messages.pofile import PoFileError, read_po

    try:
        if file.stat().st_size > MOST_BYTES:
            raise ValueError(f"it is larger than {MOST_BYTES} bytes")
        with file.open("rb") as opened:
            found = read_po(opened, abort_invalid=True)
    except (PoFileError, ValueError, LookupError, OSError) as why:
        faults.append(Fault(file.name, "", f"it cannot be read as a PO file: {why}"))
        return
    for one in found:
        plain = isinstance(one.id, str) and isinstance(one.string, str)
        if plain and one.id and one.string and not one.fuzzy:
            yield (one.context or "", str(one.id)), str(one.string)
