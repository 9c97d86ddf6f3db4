"""In which role something may be recorded, and that every page asks."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from filled_form import SCREEN, form

from vestige.graph.errors import Refused
from vestige.ui.page import Desk, recording, treated


def test_an_account_records_only_in_roles_that_it_holds(desk: Desk) -> None:
    account = replace(desk, who="ada", holds=("conservator", "CC"))
    made = form(desk, name="cleaned", sort="treatment")
    happening = treated.happening_of(desk, SCREEN, made)
    with pytest.raises(Refused, match=r"does not hold the role 'R1'.*conservator, CC"):
        treated.record(account, "R1", made, happening)
    with pytest.raises(Refused, match="reads and records nothing"):
        recording.act(replace(desk, who="guest", holds=()), "OC", [happening])
    with pytest.raises(Refused, match="under which role"):
        recording.record(desk, " ", [])
    before = desk.collection.store.head().seq
    assert set(recording.roles_of(account)) == {"conservator", "CC"}
    assert desk.collection.store.head().seq == before
    treated.record(account, "Conservator", made, happening)
    assert desk.collection.store.of_kind("happening")[-1].by == "conservator"


def test_a_new_role_is_recorded_with_its_first_entry_and_only_then(desk: Desk) -> None:
    assert recording.is_new(desk, "TX")
    assert not recording.is_new(desk, "oc")
    assert recording.role_in(desk, "oc") == "OC"
    for name in ("first", "second"):
        filled = form(desk, name=name, sort="examination")
        treated.record(desk, "TX", filled, treated.happening_of(desk, SCREEN, filled))
    roles = [one.body["number"] for one in desk.collection.store.of_kind("role")]
    assert roles.count("TX") == 1


def test_every_page_records_through_the_check_of_the_role() -> None:
    folder = Path(recording.__file__).parent
    around = re.compile(r"collection\.(record|act)\(|\.store\.append\(")
    found = {
        one.name for one in folder.glob("*.py") if around.search(one.read_text("utf-8"))
    }
    assert found == {"recording.py"}
