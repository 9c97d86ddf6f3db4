"""What the pages rest on, tried without a browser: desk, drafts, form, search, export."""

import csv
import html.parser
import io
import shutil
import threading
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vestige.graph.collection import Collection
from vestige.graph.errors import BadValue, Conflict, VestigeError
from vestige.graph.intake import csv_table
from vestige.graph.record import Claim
from vestige.ui.page import Desk, Drafts, Shelf
from vestige.ui.page.asked import Wanted, search
from vestige.ui.page.entry import claim_of, form_of, free_number, guide, problems, record
from vestige.ui.page.shown import claim as claim_shown
from vestige.ui.page.shown import esc, file_name, plain

SCREEN = "FEN.1931.44"
SCRIPT = "<script>alert(1)</script>"
QUERIES = (
    '"', "' OR 1=1 --", "a AND", "NEAR(a b)", "*", "(", "name:x", "^", "a\x00b", "-", "+x",
    "'; DROP TABLE entry; --", '" OR "1"="1', "{col}: x", "🪑", "a" * 5000,
)  # fmt: skip


@pytest.fixture(scope="module")
def read_only(museum: Path) -> Iterator[Collection]:
    with Collection.open(museum) as collection:
        yield collection


@pytest.fixture(scope="module")
def desk(read_only: Collection) -> Desk:
    return Desk.on(read_only, None, None, Shelf())


@pytest.fixture
def own(museum: Path, tmp_path: Path) -> Iterator[Desk]:
    """A desk on an archive of its own, to record into."""
    home = Path(shutil.copytree(museum, tmp_path / "own"))
    with Collection.open(home) as collection:
        yield Desk.on(collection, None, None, Shelf())


def test_an_answer_is_made_once_for_each_reader_and_day(read_only: Collection) -> None:
    made: list[str] = []
    shelf = Shelf()
    for role, day in ((None, None), (None, None), ("R2", None), (None, "2099-01-01")):
        Desk.on(read_only, role, day, shelf).once("x", lambda: made.append("made"))
    assert len(made) == 3


def test_a_shelf_lets_the_oldest_go() -> None:
    shelf = Shelf(2)
    for mark in ("a", "b", "a", "c"):
        shelf.take(mark, lambda mark=mark: mark)  # type: ignore[misc]
    assert shelf.take("a", lambda: "made again") == "a"
    assert shelf.take("b", lambda: "made again") == "made again"


def test_a_day_that_cannot_be_read_is_refused_with_what_would_be_right(
    read_only: Collection,
) -> None:
    with pytest.raises(BadValue, match="next tuesday"):
        Desk.on(read_only, None, "next tuesday", Shelf())


def test_nothing_is_known_before_anything_was_recorded(read_only: Collection) -> None:
    before = Desk.on(read_only, None, "1999-12-31", Shelf())
    assert len(before.everything_kept()) == 0


@given(
    st.dictionaries(st.sampled_from(["note", "object", "reason"]), st.text(), max_size=3)
)
def test_a_draft_is_read_as_it_was_kept(values: dict[str, str]) -> None:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        Drafts(Path(folder)).keep("observation", values)
        kept = {key: said for key, said in values.items() if said}
        assert Drafts(Path(folder)).read("observation") == kept


def test_a_spoilt_file_of_drafts_is_no_draft_and_stops_nothing(tmp_path: Path) -> None:
    drafts = Drafts(tmp_path)
    for spoilt in ("{", "[]", '{"drafts": 3}', '{"drafts": {"observation": 3}}', ""):
        drafts.file.write_text(spoilt, "utf-8")
        assert drafts.read("observation") == {}
    drafts.keep("observation", {"note": "芦苇"})
    assert drafts.read("observation") == {"note": "芦苇"}
    assert [one.name for one in tmp_path.iterdir()] == ["drafts.json"]


def test_pages_that_keep_at_once_lose_nothing_of_each_other(tmp_path: Path) -> None:
    """A page that is loaded again meets its own last run; each has drafts of its own."""
    Drafts(tmp_path).keep("observation", {"note": "kept before"})
    failed: list[BaseException] = []

    def work(name: str) -> None:
        try:
            for i in range(60):
                Drafts(tmp_path).add("observation", {name: str(i)})
                assert Drafts(tmp_path).read("observation")["note"] == "kept before"
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=work, args=(f"field {i}",)) for i in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    assert Drafts(tmp_path).read("observation") == {"note": "kept before"} | {
        f"field {i}": "59" for i in range(4)
    }


def test_a_form_becomes_the_claim_that_it_says(desk: Desk) -> None:
    state, home, _ = desk.around(SCREEN)
    form = {"element": "SCR-12", "relation": "lies over", "other": "SCR-10", "by": "OC"}
    made = claim_of(state, home, form, "OB-1")
    assert (state.number(made.about), str(made.relation)) == ("SCR-12", "lies over")
    assert str(made.strength) == "strong"  # the usual word of evidence_guide.toml
    assert [kind.name for kind in guide(state, form)] == ["order: over and under"]
    assert problems(desk, made, "a key") == ()


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ({}, "choose a word"),
        ({"relation": "lies over"}, "other"),
        ({"relation": "not before", "element": "SCR-12"}, "date"),
        ({"relation": "not before", "date": "last year"}, "last year"),
        ({"relation": "lies over", "other": "NO-SUCH"}, "NO-SUCH"),
    ],
)
def test_a_form_that_is_not_complete_says_what_lacks(
    desk: Desk, form: dict[str, str], says: str
) -> None:
    state, home, _ = desk.around(SCREEN)
    with pytest.raises(BadValue, match=says):
        claim_of(state, home, form, "OB-1")


def test_a_copy_takes_the_act_of_what_it_repeats(desk: Desk) -> None:
    state, home, _ = desk.around(SCREEN)
    origin = next(one for _, one in state.all_of(Claim) if one.act)
    form = {"relation": "noted", "value": "again", "derived": origin.number}
    assert claim_of(state, home, form, "OB-1").act == origin.act


def test_pressing_twice_records_once(own: Desk) -> None:
    state, home, _ = own.around(SCREEN)
    form = {
        "key": own.collection.keys.new(),
        "element": "SCR-16",
        "relation": "made in",
        "phase": f"{SCREEN}/P1",
        "by": "OC",
    }
    made = claim_of(state, home, form, free_number(own))
    moved = record(own, "OC", made, form)
    assert "SCR-16" in [one.thing.number for one in moved]
    entries = own.collection.store.head().seq
    record(own, "OC", made, form)
    assert own.collection.store.head().seq == entries


def test_a_corrected_claim_keeps_what_the_form_does_not_show(own: Desk) -> None:
    (state, key), home = own.about("SV8a"), own.around(SCREEN)[1]
    form = {**form_of(state, key), "note": "seen again", "reason": "looked again"}
    made = claim_of(state, home, form, "SV8a")
    before = state.record(key, Claim)
    assert made == before.model_copy(update={"note": "seen again"})
    record(own, "OC", made, form)
    with pytest.raises(Conflict):
        record(own, "OC", made, {**form, "replaces": str(int(form["replaces"]) - 1)})


@pytest.mark.parametrize("words", QUERIES)
def test_no_query_is_more_than_words(desk: Desk, words: str) -> None:
    entries = desk.collection.store.head().seq
    with suppress(VestigeError):  # a refusal in words is an answer, a crash is none
        search(desk, Wanted(words=words, kind="element"))
    assert desk.number_of(words) is None
    assert desk.collection.store.head().seq == entries
    assert desk.collection.store.verify().holds


def test_filters_let_through_what_all_of_them_let_through(desk: Desk) -> None:
    irons = search(desk, Wanted(kind="element", material="iron")).rows
    assert irons
    assert all("iron" in one.material for one in irons)
    later = search(desk, Wanted(kind="element", material="iron", verdict="later")).rows
    assert {one.thing.key for one in later} < {one.thing.key for one in irons}
    dated = search(desk, Wanted(kind="happening", before="1900"))
    assert all(one.date is not None and one.date.latest is not None for one in dated.rows)
    assert dated.undated > 0


def test_words_that_are_closed_are_found_by_their_reader_alone(
    read_only: Collection,
) -> None:
    [source] = read_only.store.named("S-FM19")
    asked = Wanted(words=str(source.body["note"]).strip("."))
    assert search(Desk.on(read_only, None, None, Shelf()), asked).rows == ()
    seen = search(Desk.on(read_only, "R2", None, Shelf()), asked).rows
    assert [one.thing.number for one in seen] == ["S-FM19"]


def test_what_is_closed_is_not_corrected_by_who_may_not_read_it(
    read_only: Collection,
) -> None:
    [claim] = read_only.store.named("SV19")
    assert not Desk.on(read_only, None, None, Shelf()).sees(claim.key)
    assert Desk.on(read_only, "R2", None, Shelf()).sees(claim.key)


# OWASP, "CSV Injection": cells that begin with = + - @ tab or carriage return.
@given(st.lists(st.lists(st.text(), min_size=1, max_size=3), max_size=4))
def test_no_cell_of_an_export_begins_as_a_formula(rows: list[list[str]]) -> None:
    told = csv_table(["=head"], rows).decode("utf-8-sig")
    cells = [cell for row in csv.reader(io.StringIO(told, newline="")) for cell in row]
    assert not any(cell.lstrip(" ").startswith(tuple("=+-@\t\r\n")) for cell in cells)


@given(st.text())
def test_a_file_name_climbs_nowhere(text: str) -> None:
    name = file_name(text, "csv")
    assert not set(name) & set('/\\:*?"<>|\0')
    assert ".." not in name
    assert not name.startswith((".", "-"))
    assert len(name.encode()) < 350


class Tags(html.parser.HTMLParser):
    """The tags and their attributes in a piece of HTML."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.met: list[tuple[str, set[str]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.met.append((tag, {name for name, _ in attrs}))


HOSTILE = (SCRIPT, '"><img src=x onerror=alert(1)>', "' onclick='x", "]]>", "<!--", "&lt;")


@pytest.mark.parametrize("text", HOSTILE)
def test_a_script_in_a_record_is_shown_as_its_text(text: str) -> None:
    assert Tags(esc(text)).met == []


@pytest.mark.parametrize("text", HOSTILE)
def test_a_claim_with_a_script_in_every_field_has_our_tags_alone(
    desk: Desk, text: str
) -> None:
    from vestige.ui.page.entry import preview

    state, home, _ = desk.around(SCREEN)
    fields = dict.fromkeys(("value", "note", "spot", "rival", "by", "method"), text)
    made = claim_of(state, home, {"relation": "noted", **fields}, text)
    shown = claim_shown(preview(state, made, "01M89JEB4BX1CP7TZVJQ"))
    assert {tag for tag, _ in Tags(shown).met} <= {"div", "a", "br"}
    assert all(names <= {"class", "href", "target"} for _, names in Tags(shown).met)


def test_markdown_of_a_record_is_shown_letter_by_letter() -> None:
    assert plain("[x](http://a)") == r"\[x\]\(http\://a\)"
    assert plain(":red[x] *y* `z` $a$") == r"\:red\[x\] \*y\* \`z\` \$a\$"


def test_a_drawing_as_dots_is_twice_as_large_and_reaches_every_side(desk: Desk) -> None:
    from PIL import Image, ImageChops

    from vestige.ui.drawing import draw_arrangements
    from vestige.ui.page.drawn import arrangements_drawn
    from vestige.ui.page.png import png_of

    data = arrangements_drawn(desk.arrangements(SCREEN))
    assert data is not None
    drawing = draw_arrangements(data)
    dots = Image.open(io.BytesIO(png_of(drawing))).convert("RGB")
    assert dots.size == (round(drawing.width) * 2, round(drawing.height) * 2)
    inked = ImageChops.difference(dots, Image.new("RGB", dots.size, "white")).getbbox()
    assert inked is not None
    assert inked[2] > dots.width * 0.9
    assert inked[3] > dots.height * 0.9


def test_a_list_that_names_what_is_closed_to_others_is_noted_as_a_view(own: Desk) -> None:
    from vestige.graph.record import Source
    from vestige.ui.gate import ViewLog

    [source] = own.collection.store.named("S-FM19")
    for role in (None, "R2"):
        desk = Desk.on(own.collection, role, None, Shelf())
        desk.listed(desk.whole(), Source)
    views = ViewLog(own.folder).views()
    assert [(one.role, one.record) for one in views] == [("R2", source.key)]
