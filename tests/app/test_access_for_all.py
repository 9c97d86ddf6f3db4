"""Every page under axe-core (WCAG 2.2 A and AA): nothing serious or critical of ours."""

from typing import TYPE_CHECKING, Any

import pytest
from browsing import SCREEN, look

if TYPE_CHECKING:
    from playwright.sync_api import Page

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
"""Tags of axe-core's rules for the Web Content Accessibility Guidelines 2.2, A and AA."""
OF_THE_FRAMEWORK: set[str] = set()
"""Rules that Streamlit's own parts break; none is ours to mend."""
PAGES = (
    "",
    "?view=registrar",
    "find?kind=happening&before=1900",
    f"object?o={SCREEN}",
    f"object?o={SCREEN}&look=Arrangements",
    f"object?o={SCREEN}&look=Order+of+layers+and+events",
    f"object?o={SCREEN}&look=What+was+taken+off",
    "element?e=SCR-12",
    f"observe?o={SCREEN}&e=SCR-12",
    "kept?shelf=BX-014",
    "kept?item=BG-014-4",
    f"questions?o={SCREEN}",
    "changes?since=2020-01-01",
    "bring",
    f"decide?o={SCREEN}&e=SCR-16",
    f"treatment?o={SCREEN}&e=SCR-16",
    f"removal?o={SCREEN}&e=SCR-16",
    "correct?id=BG-014-4",
    "record?id=SV8a",
)


def worst(page: "Page") -> list[dict[str, Any]]:
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page, options={"runOnly": RULES})
    broken: list[dict[str, Any]] = found.response["violations"]
    return [one for one in broken if one["impact"] in ("serious", "critical")]


@pytest.mark.parametrize("some", [PAGES[:7], PAGES[7:]], ids=["first", "others"])
def test_no_page_shuts_anybody_out(
    page: "Page", address: str, some: tuple[str, ...]
) -> None:
    for path in some:
        look(page, f"{address}/{path}")
        told = [
            (one["id"], one["nodes"][0]["html"][:200], len(one["nodes"]))
            for one in worst(page)
            if one["id"] not in OF_THE_FRAMEWORK
        ]
        assert told == [], path


def test_the_checker_itself_finds_what_is_wrong(page: "Page") -> None:
    page.set_content("<html lang='en'><title>t</title><img src='data:,'></html>")
    assert "image-alt" in [one["id"] for one in worst(page)]


@pytest.mark.parametrize("width", [640, 820])  # 1280 px at 200 %; an upright tablet
def test_nothing_is_cut_off_at_twice_the_size_or_on_a_tablet(
    page: "Page", address: str, width: int
) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    for path in ("?view=registrar", f"object?o={SCREEN}", "element?e=SCR-12"):
        look(page, f"{address}/{path}")
        over = page.evaluate(
            "() => { const m = document.querySelector('[data-testid=stMain]');"
            " return m.scrollWidth - m.clientWidth; }"
        )
        assert over <= 1, path


def test_large_buttons_are_large(page: "Page", address: str) -> None:
    look(page, f"{address}/observe?o={SCREEN}&large=true")
    page.wait_for_timeout(500)
    buttons = page.get_by_role("button", name="Clear the form")
    box = buttons.bounding_box()
    assert box is not None
    assert box["height"] >= 52
