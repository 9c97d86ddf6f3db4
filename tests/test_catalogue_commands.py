"""How a language is begun, brought up to the words, and checked."""

from pathlib import Path

from babel.messages.pofile import read_po
from click.testing import CliRunner

from vestige.ui.language import catalogue_of
from vestige.ui.language.__main__ import main
from vestige.ui.language.template import all_messages


def ran(*words: str) -> str:
    answer = CliRunner().invoke(main, words, catch_exceptions=False)
    return f"{answer.exit_code}\n{answer.output}"


def test_a_language_is_begun_with_every_message_and_nothing_said(tmp_path: Path) -> None:
    file = tmp_path / "languages" / "fr.po"
    file.parent.mkdir()
    assert ran("update", "fr", "--file", str(file)).startswith("0")
    with file.open("rb") as opened:
        begun = {(one.context or "", str(one.id)) for one in read_po(opened) if one.id}
    assert begun == set(all_messages())
    assert catalogue_of("fr", tmp_path).texts == {}
    said = ran("check", "--archive", str(tmp_path))
    assert said.startswith("4")
    assert f"fr.po: {len(begun)} of {len(begun)} texts are shown in English" in said


def test_what_was_translated_stays_and_what_is_gone_is_kept_aside(tmp_path: Path) -> None:
    file = tmp_path / "fr.po"
    file.write_text(
        'msgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n\n'
        'msgid "Today"\nmsgstr "Aujourd\'hui"\n\n'
        'msgctxt "FIND"\nmsgid "Find"\nmsgstr "Chercher"\n\n'
        'msgid "Yesteryear"\nmsgstr "Antan"\n',
        "utf-8",
    )
    ran("update", "fr", "--file", str(file))
    text = file.read_text("utf-8")
    assert 'msgstr "Aujourd\'hui"' in text
    assert 'msgctxt "FIND"' in text  # a second translation, for one of its constants
    assert '#~ msgid "Yesteryear"' in text
    before = text
    ran("update", "fr", "--file", str(file))
    assert file.read_text("utf-8") == before


def test_a_constant_may_have_a_translation_of_its_own(tmp_path: Path) -> None:
    from vestige.ui.language import speak
    from vestige.ui.page import words

    (tmp_path / "languages").mkdir()
    (tmp_path / "languages" / "fr.po").write_text(
        'msgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n\n'
        'msgid "Find"\nmsgstr "Trouver"\n\n'
        'msgctxt "FIND"\nmsgid "Find"\nmsgstr "Chercher"\n',
        "utf-8",
    )
    speak(catalogue_of("fr", tmp_path))
    try:
        assert (words.SEARCH, words.FIND) == ("Trouver", "Chercher")
    finally:
        speak(None)
