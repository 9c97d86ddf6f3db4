"""A conservator's whole path in a real browser: seen, judged, decided, done, kept."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from browsing import choose, drafted, look, still, type_into

from vestige.graph.collection import Collection
from vestige.graph.ledger import State

if TYPE_CHECKING:
    from playwright.sync_api import Page

Serve = Callable[..., str]


def test_from_an_observation_to_the_label_of_a_removed_part(
    page: "Page", serve: Serve, own_archive: Path
) -> None:
    app = serve(own_archive)
    look(page, f"{app}/observe?o=FEN.1931.44&e=SCR-16")
    choose(page, "Recording as (role)", "OC")
    observe(page)
    look(page, f"{app}/element?e=SCR-16")
    page.get_by_role("link", name="Record a decision about this element").click()
    decide(page)
    page.get_by_role("link", name="Record the treatment that carries it out").click()
    write_treatment(page, own_archive)
    decide_otherwise(own_archive)
    see_both_versions(page)
    page.get_by_role("button", name="Record what was done").click()
    take_off(page)
    page.get_by_role("link", name="Print its label").click()
    page.get_by_role("heading", name="Removed and kept").wait_for()
    still(page)
    page.get_by_role("button", name="Make labels").click()
    page.get_by_role("button", name="Save labels").wait_for()


def observe(page: "Page") -> None:
    choose(page, "What is said of it", "made in")
    choose(page, "Phase", "P1")
    choose(page, "Source", "S-OC19")
    page.get_by_role("radio", name="strong").click()
    still(page)
    page.get_by_role("button", name="Record it").click()
    page.get_by_role("region", name="What it changed").wait_for()


def decide(page: "Page") -> None:
    page.get_by_role("heading", name="Record a decision").wait_for()
    still(page)
    assert page.get_by_text("lead (suspected)").is_visible()
    choose(page, "What was chosen", "remove")
    type_into(page, "Why, in the words of who decided", "it hides the painted edge")
    page.get_by_role("button", name="Record it").click()


def write_treatment(page: "Page", archive: Path) -> None:
    """By hand and with a new material; a page that is loaded again has it still."""
    page.get_by_role("heading", name="Record a treatment").wait_for()
    still(page)
    used = page.get_by_role("combobox", name="Materials and batches used")
    used.click()
    used.fill("acetone gel")
    used.press("Enter")
    used.press("Escape")
    page.get_by_text("Solvent: vapour, skin and fire.").wait_for()
    name = page.get_by_label("What was done, in a few words")
    name.press_sequentially("edge strip lifted")
    drafted(page, archive, "edge strip lifted")
    page.reload()
    still(page)
    assert name.input_value() == "edge strip lifted"


def decide_otherwise(archive: Path) -> None:
    """Somebody else decides otherwise, while the treatment is written down."""
    with Collection.open(archive) as other:
        [now] = other.store.of_kind("decision")[-1:]
        assert now.body["choice"] == "remove"
        assert str(now.body["assessment_said"]).startswith("SCR-16: ")
        body = {**now.body, "choice": "leave"}
        other.record("CU", [State("decision", now.key, body, now.seq, "asked again")])


def see_both_versions(page: "Page") -> None:
    type_into(page, "Why", "it hides the painted edge, at 40 x")
    both = page.get_by_role("region", name="Recorded by somebody since")
    both.wait_for()
    assert "remove" in both.inner_text()
    assert "leave" in both.inner_text()
    assert page.get_by_role("button", name="Record what was done").is_disabled()
    page.get_by_role("button", name="I have read it").click()
    both.wait_for(state="detached")
    still(page)


def take_off(page: "Page") -> None:
    """A removal says what it lacks until nothing is lacking."""
    page.get_by_role("heading", name="Record what was taken off").wait_for()
    still(page)
    told = page.get_by_text("REMOVAL NOT DOCUMENTED")
    told.wait_for()
    assert "consent, the original position" in told.inner_text()
    type_into(page, "Who consented (role)", "CU")
    type_into(page, "Original position, exactly", "left edge, 0 to 340 mm from below")
    choose(page, "Container or place it was put into", "RL-005")
    type_into(page, "What its label says, to the letter", "edge strip E1")
    type_into(page, "To be looked at again when (EDTF)", "2030")
    told.wait_for(state="detached")
    page.get_by_role("button", name="Record it as taken off").click()
    page.get_by_text("Stage: removed and kept").wait_for()
