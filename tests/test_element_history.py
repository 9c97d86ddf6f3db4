from typing import Any

from test_case_from_state import cart

from vestige.graph.answer.assessment import assess_of
from vestige.graph.answer.element_history import put_back_since, reused_from
from vestige.graph.record import Happening, Record
from vestige.graph.state import Held, State


def with_more(more: dict[str, tuple[type[Record], dict[str, Any]]], **claims: Any) -> State:
    """The invented cart with further records."""
    before = cart(**claims)
    held = [before.held(key) for key in before]
    held += [Held(key, kind(**fields)) for key, (kind, fields) in more.items()]
    return State(held, before.known)


PUT_BACK: dict[str, tuple[type[Record], dict[str, Any]]] = {
    "T1": (Happening, {"number": "T-1", "object": "CART", "name": "board taken off",
                       "sort": "removal", "when": "1950", "elements": ("BODY",)}),
    "T2": (Happening, {"number": "T-2", "object": "CART", "name": "board put back",
                       "sort": "putting back", "when": "1962-05",
                       "elements": ("BODY", "BOARD")}),
}  # fmt: skip


def text_of(state: State, number: str) -> str:
    found = assess_of(state, "CART").verdicts
    return next(one.text for one in found if one.thing.number == number)


def test_an_original_put_back_is_said_to_be_in_its_first_place_again() -> None:
    assert text_of(cart(), "1").startswith("original, in place")
    again = text_of(with_more(PUT_BACK), "1")
    assert again.startswith("original, in its first place again since 1962-05")


def test_what_is_no_original_keeps_its_word_when_put_back() -> None:
    bare, told = text_of(cart(), "2"), text_of(with_more(PUT_BACK), "2")
    assert told == f"{bare}; put back 1962-05"


def test_what_never_came_off_was_never_put_back() -> None:
    assert put_back_since(with_more(PUT_BACK), "NAIL") == ""


def test_what_an_element_is_said_to_come_from_is_told_by_number() -> None:
    state = cart(C9={"about": "BOARD", "relation": "reused from", "other": "BODY",
                     "source": "LOOK"})  # fmt: skip
    assert reused_from(state, "BOARD") == ("1",)
    denied = cart(C9={"about": "BOARD", "relation": "reused from", "other": "BODY",
                      "source": "LOOK", "stance": "against"})  # fmt: skip
    assert reused_from(denied, "BOARD") == ()
