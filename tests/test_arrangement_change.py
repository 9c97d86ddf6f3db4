"""What changed between two arrangements, read from their words.

No outside source: the words are a convention of this program.
"""

import pytest

from vestige.graph.answer.arrangement_change import changes, read_arrangement


def told(before: str, after: str) -> list[tuple[str, str]]:
    was, now = read_arrangement(before), read_arrangement(after)
    assert was is not None
    assert now is not None
    return [(one.piece, one.sort) for one in changes(was, now)]


@pytest.mark.parametrize(
    ("before", "after", "what"),
    [
        ("A-B-C-D", "A-B-C-D", []),
        ("A-B-C-D", "A-C-B-D", [("B", "moved"), ("C", "moved")]),
        ("A-B", "a – b", []),
        ("A-B", "A (turned)-B", [("A", "turned")]),
        ("A-B", "A (back to front)-B", [("A", "turned")]),
        ("A-B", "A (mirrored)-B", [("A", "mirrored")]),
        ("A-B", "A-B (upside down)", [("B", "turned upside down")]),
        ("A (upside down)-B", "A-B", [("A", "turned upside down")]),
        ("A-B-C", "A-X-C", [("B", "replaced")]),
        ("A-B-C", "A-B", [("C", "absent")]),
        ("A-B", "A-B-C", [("C", "new")]),
        ("A-B", "B (turned, scorched)-A",
         [("A", "moved"), ("B", "moved"), ("B", "noted otherwise"), ("B", "turned")]),
    ],
)  # fmt: skip
def test_every_sort_of_change_is_told(
    before: str, after: str, what: list[tuple[str, str]]
) -> None:
    assert told(before, after) == what


@pytest.mark.parametrize(
    "words", ["", "A", "leaves put back in right order", "A--B", "A-A", "A-(turned)"]
)
def test_words_that_are_no_list_of_pieces_are_not_guessed_at(words: str) -> None:
    assert read_arrangement(words) is None


def test_a_hyphen_within_a_note_does_not_part_the_pieces() -> None:
    read = read_arrangement("A (back-to-front)-B")
    assert read is not None
    assert [one.name for one in read] == ["A", "B"]
    assert read[0].notes == {"back-to-front"}
