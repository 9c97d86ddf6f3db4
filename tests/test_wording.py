"""Words of the pages: translated where they are read, complete, harmless when wrong."""

import ast
import gettext
import io
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from door_caller import CHEAP, WORDS, Caller, door

from vestige.graph import keeping
from vestige.graph.answer import answer
from vestige.graph.reasoning import ThingKind
from vestige.graph.reasoning.account import Grade, VerdictWord, said
from vestige.graph.record import Relation
from vestige.ui.drawing.palette import verdict_class
from vestige.ui.gate.account import Accounts
from vestige.ui.language import (
    Wording,
    catalogue_of,
    claim,
    fitting,
    language,
    languages,
    preferred,
    speak,
    verdict,
    word,
    words_claim,
)
from vestige.ui.language.catalogue import HERE, fault_in
from vestige.ui.language.template import (
    ROOMS,
    TEMPLATE,
    all_messages,
    checked,
    modules,
    template_text,
    trade_words,
)
from vestige.ui.page import words

UI = HERE.parent
SOURCES = sorted(file for room in ROOMS for file in (UI / room).glob("*.py"))
SHOWS = {"st", "shown", "one", "two", "three", "four", "five", "left", "right", "sheet"}
"""Names on which a page calls what it shows."""
REFUSALS = {"BadValue", "Refused", "Conflict", "NotRecorded"}
ENGLISH_FOR_ALL: set[str] = set()
"""Sentences of pages that are the same in all languages."""


@pytest.fixture(autouse=True)
def _in_english() -> Iterator[None]:
    speak(None)
    yield
    speak(None)


def german() -> None:
    speak(catalogue_of("de"))


def own(archive: Path, text: str, name: str = "de.po") -> Path:
    (archive / "languages").mkdir(exist_ok=True)
    (archive / "languages" / name).write_text(text, "utf-8")
    return archive


def test_a_constant_is_read_in_the_language_that_is_spoken() -> None:
    assert words.TODAY == "Today"
    german()
    assert words.TODAY == "Heute"
    assert words.OPEN_HEADS == ("Element", "Objekt", "Urteil")
    assert words.TODAY_UNDER["registrar"].startswith("Was keinen bekannten Ort")
    assert language() == "de"


def test_what_is_compared_with_answers_or_stands_in_addresses_stays() -> None:
    german()
    assert words.VIEWS == ("conservator", "registrar", "researcher")
    assert words.LISTS_IT == "'vestige find' lists what there is"


def test_every_module_of_words_is_translated() -> None:
    files = {file for file in SOURCES if file.stem.startswith("words")}
    assert len(files) >= 4
    known = {one.__name__.rsplit(".", 2)[-2:][0] + "/" + one.__name__.rsplit(".", 1)[-1]
             for one in modules()}  # fmt: skip
    assert {f"{file.parent.name}/{file.stem}" for file in files} == known


def test_no_word_is_read_before_anybody_speaks() -> None:
    """A default, a constant or `from .words import X` would keep the first language."""
    found = []
    for file in SOURCES:
        tree = ast.parse(file.read_text("utf-8"))
        names = {
            alias.asname or alias.name
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom)
            for alias in node.names
            if alias.name.startswith("words")
        }
        found += [
            f"{file.name}: from {node.module} import {alias.name}"
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom)
            and (node.module or "").rsplit(".", 1)[-1].startswith("words")
            for alias in node.names
            if alias.name.isupper()
        ]
        for node in _at_import(tree):
            read = node.value if isinstance(node, ast.Attribute) else None
            if isinstance(read, ast.Name) and read.id in names:
                found.append(f"{file.name}: {ast.unparse(node)}")
    assert found == []


def _at_import(node: ast.AST) -> Iterator[ast.AST]:
    """Everything that runs when a module is read, and no body of a function."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef):
            for part in (*child.decorator_list, child.args):
                yield from ast.walk(part)
        elif not isinstance(child, ast.Lambda):
            yield child
            yield from _at_import(child)


def test_no_sentence_is_written_in_a_page_itself() -> None:
    found = []
    for file in SOURCES:
        if file.stem.startswith("words") or file.parent.name != "page":
            continue
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call) and _shows(node.func):
                found += [f"{file.name}:{node.lineno}: {text}" for text in _sentences(node)]
    assert found == []


def _shows(func: ast.expr) -> bool:
    if isinstance(func, ast.Name):
        return func.id in REFUSALS
    return (
        isinstance(func, ast.Attribute)
        and isinstance(func.value, ast.Name)
        and func.value.id in SHOWS
    )


def _sentences(call: ast.Call) -> list[str]:
    """Texts of a call that hold two words of letters, outside of HTML and of keys."""
    found = []
    given = [*call.args, *(one.value for one in call.keywords if one.arg != "key")]
    for node in given:
        for part in ast.walk(node):
            if isinstance(part, ast.Constant) and isinstance(part.value, str):
                bare = re.sub(r"<[^>]*>?|[\w-]+=\"?|\"", "", part.value)
                if re.search(r"[A-Za-z]{2,} [A-Za-z]{2,}", bare):
                    found.append(part.value)
    return [one for one in found if one not in ENGLISH_FOR_ALL]


def test_the_template_is_made_from_the_words() -> None:
    assert TEMPLATE.read_text("utf-8") == template_text(), (
        "run: python -m vestige.ui.language template"
    )


def test_german_says_nearly_everything_and_nothing_wrong() -> None:
    """New words may wait for a translation; then `update de` and fill them in."""
    every = set(all_messages())
    lacking = every - set(catalogue_of("de").texts)
    assert len(lacking) <= 0.05 * len(every), sorted(lacking)
    assert catalogue_of("de").faults == ()


def test_the_library_of_python_reads_the_same_translations() -> None:
    """Babel compiles the catalogue, and gettext of the standard library reads it."""
    with (HERE / "de.po").open("rb") as opened:
        read = read_po(opened)
    compiled = io.BytesIO()
    write_mo(compiled, read)
    compiled.seek(0)
    oracle = gettext.GNUTranslations(compiled)
    texts = catalogue_of("de").texts
    assert len(texts) > 500
    for (context, english), told in texts.items():
        known = oracle.pgettext(context, english) if context else oracle.gettext(english)
        assert known == told


@pytest.mark.parametrize(
    ("english", "told", "wrong"),
    [
        ("{count} found", "{count} gefunden", None),
        ("{a} of {b}", "{b}: {a}", None),
        ("{count} found", "gefunden", "placeholders"),
        ("{count} found", "{count!r} gefunden", "placeholders"),
        ("{count} found", "{count:>999999999} gefunden", "placeholders"),
        ("{count} found", "{count.__class__.__mro__} gefunden", "placeholders"),
        ("{count} found", "{0} gefunden", "placeholders"),
        ("Nothing.", "{secret}", "placeholders"),
        ("Nothing.", "Nichts {", "brace"),
        ("Nothing.", "<img src=x onerror=alert(1)>", "mark-up"),
        ("Nothing.", '" onmouseover="x', "mark-up"),
        ("Nothing.", "[hier](javascript:0)", "mark-up"),
        ("Nothing.", "\u202enichts", "mark-up"),
    ],
)
def test_a_translation_may_only_say_what_the_english_says(
    english: str, told: str, wrong: str | None
) -> None:
    found = fault_in(english, told)
    assert (found is None) if wrong is None else (found is not None and wrong in found)


def test_a_museum_has_its_own_words_and_its_faults_are_named(tmp_path: Path) -> None:
    archive = own(
        tmp_path,
        'msgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n\n'
        'msgid "Today"\nmsgstr "Heute im Haus"\n\n'
        'msgid "{count} found"\nmsgstr "{count.__class__} gefunden"\n',
    )
    found = catalogue_of("de", archive)
    speak(found)
    assert words.TODAY == "Heute im Haus"
    assert words.FIND_COUNT.format(count=3) == "3 gefunden"  # the package's is used
    assert ["{count.__class__}" in str(one) for one in found.faults] == [True]
    assert any("{count.__class__}" in line for line in checked(archive))


@pytest.mark.parametrize(
    "text",
    ["no catalogue at all", 'msgid "a', "\x00\x01", 'msgid "Today"\nmsgstr "x" "\n',
     'msgid ""\nmsgstr "Content-Type: text/plain; charset=nonsense\\n"\n'],
)  # fmt: skip
def test_a_file_that_is_no_catalogue_leaves_the_pages_english(
    text: str, tmp_path: Path
) -> None:
    archive = own(tmp_path, text, "fr.po")
    assert languages(archive) == ("en", "de", "fr")
    found = catalogue_of("fr", archive)
    speak(found)
    assert words.TODAY == "Today"
    assert all(str(one).startswith("fr.po:") for one in found.faults)


def test_the_browser_is_asked_and_the_nearest_language_is_spoken() -> None:
    there = ("en", "de", "pt_BR")
    assert fitting("de-AT", there) == "de"
    assert fitting("pt-br", there) == "pt_BR"
    assert fitting("pt", there) == "en"
    assert fitting("../../x", there) == "en"


class _Phases:
    """As much of a case as the words of a verdict ask for."""

    def __init__(self, *names: str) -> None:
        self.phases = [type("Phase", (), {"name": name}) for name in names]

    def phase_number(self, phase: str) -> int:
        return int(phase)


def test_every_form_of_a_verdict_is_found_again() -> None:
    german()
    case = _Phases("P1 making", "P2 use", "P3 repair and loss")
    forms = set()
    for one in VerdictWord:
        phases = ("1", "2") if one is VerdictWord.LATER else ("2",)
        for kind in ThingKind:
            forms.add(said(one, phases, case, kind))  # type: ignore[arg-type]
    forms -= {VerdictWord.OPEN.value}
    assert len(forms) >= 11
    for text in forms:
        told = verdict(text)
        assert told != text or text in ("original", "in P3 repair and loss"), text
        assert "P3 repair and loss" in told or "P3" not in text
        assert verdict(f"{text} ({Grade.PROBABLE})").endswith("(wahrscheinlich)")
        assert verdict(f"open between {text}; original").endswith("; original")


def test_what_fits_no_form_of_a_verdict_stays_whole() -> None:
    german()
    assert verdict("open between original; something else") == (
        "open between original; something else"
    )
    assert verdict("original, in place (sure)") == "original, in place (sure)"
    assert word("no such word") == "no such word"


def test_two_phases_are_joined_in_the_language_and_their_names_stay() -> None:
    german()
    assert verdict("later, open between P2 and P3") == "später, offen zwischen P2 und P3"
    both = "later, open between P2 use and stapling and P3"
    assert verdict(both) == "später, offen zwischen P2 use and stapling and P3"


def test_every_verdict_that_names_a_thing_has_signs() -> None:
    case = _Phases("P1", "P2", "P3")
    made = [kind for kind in ThingKind if kind is not ThingKind.HAPPENING]
    for one in VerdictWord:
        for kind in made:
            verdict_class(said(one, ("1", "2"), case, kind))  # type: ignore[arg-type]


def test_modules_of_words_keep_their_type() -> None:
    assert all(isinstance(one, Wording) for one in modules())


@pytest.mark.parametrize(
    ("header", "spoken"),
    [
        ("de-DE,de;q=0.9,en;q=0.8", "de"),
        ("da, en-gb;q=0.8, de;q=0.7", "en"),  # after the example of RFC 9110, 12.5.4
        ("fr, de;q=0", "en"),
        ("*", "en"),
        ("de;q=x, ,;;", "en"),
        (None, "en"),
    ],
)
def test_the_header_of_a_browser_is_read(header: str | None, spoken: str) -> None:
    assert preferred(header, ("en", "de")) == spoken


def test_who_signs_in_reads_their_own_language(tmp_path: Path) -> None:
    Accounts(tmp_path, CHEAP).add("mary", "guest", WORDS)
    caller = Caller(door(tmp_path))
    page = caller.ask("/sign-in", headers={"accept-language": "de-AT,de;q=0.9"}).body
    assert b'<html lang="de">' in page
    assert "Passwort" in page.decode()
    assert b'<html lang="en">' in caller.ask("/sign-in").body  # nobody else's language


def test_every_relation_has_its_form_in_a_sentence() -> None:
    for one in Relation:
        verb = vars(answer)["_TOLD"].get(one, str(one))
        tail = "" if one is Relation.AS_MADE else " {other}"
        form = words_claim.FORMS.get(str(one))
        assert form == (None if one is Relation.NOTED else f"{{one}} {verb}{tail}")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("S-1 paint lies over S-2 size", "S-1 paint liegt über S-2 size"),
        ("S-1 paint is as made", "S-1 paint ist wie hergestellt"),
        ("S-1 label is dated 1880~", "S-1 label ist datiert: um 1880"),
        ("S-1 it is not later than 1768", "S-1 it ist nicht später als 1768"),
        ("it is denied that S-1 is as made", "bestritten wird: S-1 ist wie hergestellt"),
        # what somebody wrote is not taken apart
        ("S-1: the label is dated 1768", "S-1: the label is dated 1768"),
        ("S-1 putty that fills a hole lies over S-2", None),
        ("S-1 fills fills S-2", None),
        ("S-1 says nothing of the kind", None),
    ],
)
def test_a_claim_is_said_whole_or_stays_whole(text: str, said: str | None) -> None:
    german()
    assert claim(text) == (said or text)
    speak(None)
    assert claim(text) == text


def test_why_a_caution_holds_is_said_in_the_words_of_answers() -> None:
    """Answers write these words where they find a caution; the list repeats them."""
    source = (Path(keeping.__file__).parent / "caution.py").read_text("utf-8")
    listed = [text for text, of in trade_words().items() if of == "why a caution holds"]
    assert len(listed) == 7
    assert [text for text in listed if f'"{text}"' not in source] == []
