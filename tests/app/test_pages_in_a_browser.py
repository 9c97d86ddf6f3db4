"""The paths of a conservator, a registrar and a researcher, in a real browser."""

import csv
import io
import re
import struct
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from browsing import SCREEN, choose, drafted, look, saved, still, type_into

if TYPE_CHECKING:
    from playwright.sync_api import Page

Serve = Callable[..., str]


def test_an_observation_is_entered_and_the_verdict_moves(
    page: "Page", serve: Serve, own_archive: Path
) -> None:
    app = serve(own_archive)
    look(page, f"{app}/element?e=SCR-16")
    assert "open between" in page.locator(".vt-big").first.inner_text()
    page.get_by_role("link", name="Record an observation about this element").click()
    still(page)
    choose(page, "Recording as (role)", "OC")
    choose(page, "What is said of it", "made in")
    choose(page, "Phase", "P1")
    choose(page, "Source", "S-OC19")
    field = page.get_by_label("Note", exact=True)
    field.press_sequentially("Same ground and canvas as leaf A, seen in a cross-section.")
    drafted(page, own_archive, "leaf A")  # a pause in typing; the field is not left
    page.reload()
    still(page)
    note = page.get_by_label("Note", exact=True)
    assert note.input_value().startswith("Same ground")
    page.get_by_role("radio", name="strong").click()
    still(page)
    assert page.get_by_text("This will be recorded").is_visible()
    page.get_by_role("button", name="Record it").click()
    page.get_by_text("Recorded as OB").wait_for()
    still(page)
    moved = page.get_by_role("region", name="What it changed").inner_text()
    assert "SCR-16" in moved


def test_two_who_correct_one_observation_lose_nothing(
    page: "Page", serve: Serve, own_archive: Path
) -> None:
    from vestige.graph.collection import Collection
    from vestige.graph.ledger import State

    app = serve(own_archive)
    look(page, f"{app}/record?id=SV8a")
    page.get_by_role("button", name="Correct this observation").click()
    page.get_by_text("You are correcting SV8a").wait_for()
    still(page)
    choose(page, "Recording as (role)", "OC")
    type_into(page, "Note", "my words on the thread")
    type_into(page, "Why it is corrected", "seen again under magnification")
    with Collection.open(own_archive) as other:
        key = other.find("SV8a")
        [now] = other.store.get([key])
        body = {**now.body, "note": "their words on the point"}
        other.record("R1", [State("claim", key, body, now.seq, "read the card again")])
    page.get_by_role("button", name="Record it").click()
    page.get_by_text("Somebody corrected this since you opened it").first.wait_for()
    still(page)
    both = page.get_by_role("region", name="Somebody corrected this").inner_text()
    assert "my words on the thread" in both
    assert "their words on the point" in both
    page.get_by_role("button", name="Go on from the version in the record").click()
    page.get_by_role("region", name="Somebody corrected this").wait_for(state="detached")
    still(page)
    page.get_by_role("button", name="Record it").click()
    page.get_by_text("Recorded as SV8a").wait_for()
    with Collection.open(own_archive) as after:
        notes = [str(one.body.get("note")) for one in after.store.history(key)]
    assert notes[-2:] == ["their words on the point", "my words on the thread"]


def test_a_registrar_moves_labels_and_finds_a_part(
    page: "Page", serve: Serve, own_archive: Path
) -> None:
    app = serve(own_archive)
    look(page, f"{app}/?view=registrar")
    lacking = page.get_by_role("region", name="Without a known place").inner_text()
    assert "RM-27-1" in lacking
    choose(page, "Recording as (role)", "R1")
    page.get_by_role("link", name="Removed and kept").click()
    still(page)
    page.get_by_role("radio", name="Move or sight").click()
    still(page)
    type_into(page, "Numbers or label codes, one a line", "RM-27-1")
    choose(page, "Put into", "RL-005")
    type_into(page, "Role that allowed it", "R2")
    type_into(page, "Reason", "found behind the map")
    page.get_by_role("button", name="Record this act").click()
    page.get_by_text("Recorded: moved").wait_for()
    still(page)
    page.get_by_role("radio", name="Labels").click()
    still(page)
    type_into(page, "Numbers, one a line", "RM-27-1")
    page.get_by_role("button", name="Make labels").click()
    page.get_by_role("button", name="Save labels").wait_for()
    assert saved(page, "Save labels").startswith(b"%PDF")
    box = page.get_by_label("Find", exact=True)
    box.fill("RM-27-1")
    box.press("Enter")
    page.get_by_role("heading", name="RM-27-1").wait_for()
    still(page)
    assert "RL-005" in page.get_by_role("region", name="RM-27-1").inner_text()


def test_a_researcher_asks_by_kind_and_date_and_exports_with_citations(
    page: "Page", address: str
) -> None:
    look(page, f"{address}/find?kind=happening&before=1900")
    dots = saved(page, "Save drawing (PNG)")  # PNG, third edition: signature and IHDR
    assert dots[:8] == b"\x89PNG\r\n\x1a\n"
    wide, high = struct.unpack(">II", dots[16:24])
    assert (wide, high) > (1000, 300)
    assert page.get_by_text(re.compile(r"^\d+ found$")).is_visible()
    rows = list(csv.reader(io.StringIO(saved(page, "Save as table").decode("utf-8-sig"))))
    head, *found = rows
    assert head[-5:] == ["record id", "entry", "recorded by", "as known on", "archive"]
    assert len(found) >= 3
    assert all(row[1] == "happening" and row[-4].isdigit() for row in found)
    years = [int(re.findall(r"\d{4}", row[4])[-1]) for row in found]
    assert max(years) < 1900


def test_why_is_reached_by_the_keyboard_and_opens_down_to_the_source(
    page: "Page", address: str
) -> None:
    look(page, f"{address}/object?o={SCREEN}")
    part = page.locator(".part").first
    part.wait_for()
    page.evaluate("document.activeElement && document.activeElement.blur()")
    for _ in range(60):
        page.keyboard.press("Tab")
        inside = "() => { let a = document.activeElement; while (a && a.shadowRoot)"
        inside += " a = a.shadowRoot.activeElement;"
        inside += " return a ? a.getAttribute('class') || '' : ''; }"
        if "part" in page.evaluate(inside).split():
            break
    else:
        raise AssertionError("no part of the drawing has the focus after 60 Tabs")
    for _ in range(4):
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="Speaks for it").wait_for()
    still(page)
    page.locator(".vt-claim a").first.click()
    page.get_by_role("heading", name="What it says").wait_for()
    still(page)
    page.get_by_role("link", name=re.compile("^S-")).first.click()
    page.get_by_role("heading", name="Who said so").wait_for()


def test_what_is_closed_is_reached_by_no_page_search_or_file(
    page: "Page", address: str, serve: Serve, museum: Path, tmp_path: Path
) -> None:
    from vestige.graph.collection import Collection

    with Collection.open(museum) as collection:
        [source] = collection.store.named("S-FM19")
    words = str(source.body["name"])
    pages = ("record?id=S-FM19", f"find?q={words}", f"object?o={SCREEN}&look=Arrangements")
    for path in pages:
        look(page, f"{address}/{path}")
        shown = page.content().replace(f'value="{words}"', "")
        assert words not in shown.split('<input aria-label="Words"')[0], path
    look(page, f"{address}/find?q={words}")
    assert page.get_by_text("0 found").is_visible()
    look(page, f"{serve(museum, 'R2')}/record?id=S-FM19")
    assert words in page.locator("h1").inner_text()


def test_a_script_in_every_text_of_a_record_runs_nowhere(
    page: "Page", serve: Serve, own_archive: Path
) -> None:
    from vestige.graph.collection import Collection
    from vestige.graph.record import (
        Claim,
        Element,
        ElementSort,
        Relation,
        Source,
        SourceKind,
        Strength,
    )

    bad = "<img src=x onerror=window.hit=1><script>window.hit=1</script>[a](javascript:0)"
    with Collection.open(own_archive) as archive:
        home = archive.find(SCREEN)
        element = Element(
            number="BAD-1", object=home, name=bad, sort=ElementSort.PART, material=bad,
            where=bad, note=bad,
        )  # fmt: skip
        source = Source(number=f"BAD-S {bad}", name=bad, sort=SourceKind.OTHER, note=bad)
        _, done = archive.act("OC", [element, source])
        assert done is not None
        claim = Claim(
            number=f"BAD-C {bad}", about=archive.find("BAD-1"), relation=Relation.NOTED,
            value=bad, strength=Strength.WEAK, source=archive.find(source.number),
            note=bad, rival=bad, spot=bad, by=bad,
        )  # fmt: skip
        archive.act(bad, [claim])
        claimed = archive.find(claim.number)
    app = serve(own_archive)
    for path in (
        f"object?o={SCREEN}", "element?e=BAD-1", "find?q=onerror", f"record?id={claimed}",
        f"observe?o={SCREEN}&e=BAD-1", f"treatment?o={SCREEN}&e=BAD-1",
        f"removal?o={SCREEN}&e=BAD-1", "correct?id=BAD-1",
        f"changes?since=2020-01-01&o={SCREEN}", f"questions?o={SCREEN}", "",
    ):  # fmt: skip
        look(page, f"{app}/{path}")
        page.wait_for_timeout(300)
        assert page.evaluate("() => window.hit") is None, path
        assert page.locator("img[src='x'], a[href^='javascript']").count() == 0, path
    look(page, f"{app}/element?e=BAD-1")
    assert bad in page.locator("h1").inner_text()


def test_a_photograph_goes_with_an_observation(
    page: "Page", serve: Serve, own_archive: Path, tmp_path: Path
) -> None:
    from PIL import Image

    from vestige.graph.collection import Collection

    Image.new("RGB", (640, 480), "#b1540b").save(tmp_path / "seen.jpg")
    (tmp_path / "lie.jpg").write_text("<script>alert(1)</script>")
    app = serve(own_archive)
    look(page, f"{app}/observe?o={SCREEN}&e=SCR-16")
    choose(page, "Recording as (role)", "OC")
    choose(page, "What is said of it", "as made")
    page.locator("input[type=file]").set_input_files(tmp_path / "lie.jpg")
    page.get_by_text("no picture that can be kept").wait_for()
    page.locator("input[type=file]").set_input_files(tmp_path / "seen.jpg")
    page.get_by_label("What the photograph shows").wait_for()
    type_into(page, "What the photograph shows", "edge strip in raking light")
    page.reload()
    still(page)
    page.get_by_role("img", name="edge strip in raking light").wait_for()
    page.get_by_role("button", name="Record it").click()
    page.get_by_text("Recorded as OB").wait_for()
    with Collection.open(own_archive) as archive:
        *_, picture = archive.store.of_kind("picture")
        *_, claim = archive.store.of_kind("claim")
    assert claim.body["picture"] == [picture.key]
    kept = own_archive / "pictures" / str(picture.body["file"])
    assert kept.read_bytes() == (tmp_path / "seen.jpg").read_bytes()
    look(page, f"{app}/record?id={picture.key}")
    assert page.get_by_role("img", name="edge strip in raking light").is_visible()
