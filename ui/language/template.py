"""The template of all catalogues, made from the modules of words; and its keeping.

``python -m vestige.ui.language template`` writes `vestige.pot`; ``update LANGUAGE``
brings a catalogue up to it (new messages empty, changed ones fuzzy, gone ones kept as
obsolete); ``check`` says what is not used and what lacks.
"""

import importlib
import io
import pkgutil
from collections.abc import Iterable, Iterator
from enum import StrEnum
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Final

from .catalogue import HERE, files_of
from .wording import COLUMN, WORD, Wording, texts_in

if TYPE_CHECKING:
    from babel.messages.catalog import Catalog

__all__ = [
    "ROOMS",
    "TEMPLATE",
    "all_messages",
    "checked",
    "modules",
    "template_text",
    "trade_words",
    "updated",
]

TEMPLATE: Final = HERE / "vestige.pot"
ROOMS: Final = ("drawing", "gate", "language", "page")
"""Packages of `vestige.ui` whose modules of words are translated."""
_HEAD: Final = """\
# The words of Vestige's pages; the fixed words of the trade (context "word"); the names
# of the fields of a record, as its sheets head their columns (context "column").
#
# The English is the key. {names} in braces are filled in by the pages: keep each, in any
# order. Where one English text needs two translations, add it again with the name of its
# constant (behind "#.") as msgctxt."""


def modules() -> Iterator[ModuleType]:
    """Every module of words that is translated."""
    for room in ROOMS:
        package = importlib.import_module(f"vestige.ui.{room}")
        for found in pkgutil.iter_modules(package.__path__):
            if found.name == "words" or found.name.startswith("words_"):
                module = importlib.import_module(f"{package.__name__}.{found.name}")
                if isinstance(module, Wording):
                    yield module


def trade_words() -> dict[str, str]:
    """The fixed words of the trade with where each comes from."""
    from vestige.graph.record import KINDS, word

    from ..drawing.palette import GRADES, VERDICTS

    found: dict[str, str] = {}
    for name, words in vars(word).items():
        if isinstance(words, type) and issubclass(words, StrEnum) and words is not StrEnum:
            for one in words:
                found.setdefault(one.value, name)
    lists: dict[str, Iterable[str]] = {
        "kind of record": KINDS,
        "grade of a verdict": GRADES,
        "class of verdict": [one.words for one in VERDICTS.values()],
        "view of the start page": ("conservator", "registrar", "researcher"),
        "weight of a problem": ("error", "warning"),
        "what a kind of record is": [one.meaning for one in KINDS.values()],
    }
    for name, each in [*lists.items(), *_answers().items()]:
        for text in each:
            found.setdefault(text, name)
    return found


def columns() -> dict[str, str]:
    """The columns of the sheets, by which a page names the fields of a record."""
    from vestige.graph.record import KINDS, head_of

    found: dict[str, str] = {}
    for model in KINDS.values():
        for name, field in model.model_fields.items():
            found.setdefault(head_of(name, field), f"column of {model.sheet}")
    return found


def _answers() -> dict[str, list[str]]:
    """Short fixed words of answers that stand alone in a cell or a heading."""
    from vestige.graph.answer import (
        assessment,
        caution,
        change,
        conflict,
        decision,
        dependence,
        due,
        recall,
        unknown,
    )
    from vestige.graph.keeping import Certainty, Stage
    from vestige.graph.keeping.retention import Standing
    from vestige.graph.reasoning import STANDARD_EXAMINATIONS, Touch
    from vestige.graph.record import Became

    return {
        "conflict": [one.value for one in conflict.ConflictSort],
        "standing of a review": [one.value for one in Standing],
        "how a place is known": [one.value for one in Certainty],
        "stage in a life": [one.value for one in Stage],
        "what an examination costs": [one.value for one in Touch],
        "examination": [one.name for one in STANDARD_EXAMINATIONS],
        "standing of a decision": [
            decision.LOOK_AGAIN,
            decision.HOLDS,
            decision.UNCOMPARED,
        ],
        "what is unknown": [
            unknown.ASKED,
            unknown.PHASE_OPEN,
            unknown.NOWHERE,
            unknown.OPEN,
        ],
        "turn in a life": [*(one.value for one in Became), "came off"],
        "what the record of places lacks": ["gap", "overlap"],
        "why a caution holds": [
            "of a part of it",
            "of what it came from",
            "of what it belongs to",
            "of what it may belong to",
            "of its holder",
            "of what lies in it",
            "of what something in it may belong to",
        ],
        "note of an answer": [
            *(one.NOTE for one in (change, conflict, decision, unknown)),
            *(one.LIMITS for one in (dependence, due, recall)),
            assessment.NO_DECISION,
            caution.GENERAL,
        ],
        "change of a record": ["stated", "corrected", "withdrawn"],
    }


def _catalog() -> "Catalog":
    """All messages in English."""
    from babel.messages.catalog import Catalog

    made = Catalog(header_comment=_HEAD, charset="utf-8")
    for module in modules():
        where = (module.__name__.removeprefix("vestige.").replace(".", "/") + ".py", 0)
        for name, texts in texts_in(module).items():
            for text in texts:
                braced = ("python-brace-format",) if "{" in text else ()
                made.add(text, locations=[where], auto_comments=[name], flags=braced)
    for text, where_from in trade_words().items():
        made.add(text, context=WORD, auto_comments=[where_from])
    for text, where_from in columns().items():
        made.add(text, context=COLUMN, auto_comments=[where_from])
    return made


def all_messages() -> list[tuple[str, str]]:
    """Every message: its context ("" for none), and the English."""
    return [(one.context or "", str(one.id)) for one in _catalog() if one.id]


def template_text() -> str:
    """The template as it should lie in the package; the same for the same words."""
    from babel.messages.pofile import write_po

    out = io.BytesIO()
    write_po(out, _catalog(), width=88, omit_header=True, include_lineno=False)
    head = f'{_HEAD}\nmsgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n\n'
    return head + out.getvalue().decode("utf-8")


def updated(language: str, file: Path | None = None) -> str:
    """The text of a language's catalogue, brought up to the template."""
    from babel.messages.catalog import Catalog
    from babel.messages.pofile import read_po, write_po

    file = file or HERE / f"{language}.po"
    made: Catalog = Catalog(locale=language)
    if file.exists():
        with file.open("rb") as opened:
            made = read_po(opened, locale=language)
    wanted = _catalog()
    for one in [one for one in made if one.id and one.context not in (None, WORD, COLUMN)]:
        if wanted.get(one.id) is not None:  # a second translation of the same English
            wanted.add(one.id, context=one.context)
    made.update(wanted, no_fuzzy_matching=True)
    out = io.BytesIO()
    write_po(out, made, width=88, omit_header=True, include_lineno=False)
    head = (
        f"# Words of Vestige's pages: {language}.\n"
        'msgid ""\nmsgstr ""\n'
        f'"Language: {language}\\n"\n"Content-Type: text/plain; charset=utf-8\\n"\n\n'
    )
    return head + out.getvalue().decode("utf-8")


def checked(archive: Path | None = None) -> list[str]:
    """What is wrong with the catalogues, a line each; none where all is well."""
    from .catalogue import catalogue_of

    said: list[str] = []
    if TEMPLATE.read_text("utf-8") != template_text():
        said.append(f"{TEMPLATE.name}: it is not up to date; make it again")
    wanted = set(all_messages())
    for language in files_of(archive):
        catalogue = catalogue_of(language, archive)
        said += [str(one) for one in catalogue.faults]
        lacking = len(wanted - set(catalogue.texts))
        if lacking:
            said.append(
                f"{language}.po: {lacking} of {len(wanted)} texts are shown in English, "
                "since they lack, are fuzzy or are faulty"
            )
    return said
