"""Labels: words first, a code that another reader reads, nothing cut, nothing recorded.

The code is read back by zxing-cpp from pages drawn by pypdfium2, in colour and in grey:
neither has a part in making it. Version, level and quiet zone are those of ISO/IEC 18004.
"""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pypdf
import pypdfium2
import pytest
import zxingcpp
from click.testing import CliRunner, Result
from loose_things import Archive
from PIL import Image

from vestige.graph.errors import BadValue
from vestige.graph.record import (
    Caution,
    CautionSort,
    KeptPart,
    Known,
    Scope,
    Status,
    label_code,
)
from vestige.ui.command import cli
from vestige.ui.paper.label import qr_svg
from vestige.ui.paper.label_sheet import MODULES, LabelSheet, read_sheet

DPI = 200


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    made = Archive(tmp_path / "a")
    with made.collection:
        yield made


@pytest.fixture
def part(archive: Archive) -> str:
    hinge = archive.element("E-4", "hinge set H3", "fixing", status=Status.KEPT)
    key = archive.put(
        KeptPart(number="BG-1", name="hinges with screws", element=hinge,
                 container=archive.box)
    )  # fmt: skip
    archive.put(
        Caution(number="C-1", about=(hinge,), sort=CautionSort.HAZARD, what="arsenic",
                known=Known.SUSPECTED, ask="R2")
    )  # fmt: skip
    archive.put(
        Caution(number="C-2", about=(hinge,), sort=CautionSort.HAZARD, what="mercury",
                known=Known.NEGATIVE, ask="R2")
    )  # fmt: skip
    archive.put(
        Caution(number="C-3", about=(key,), sort=CautionSort.RESTRICTION,
                what="not to be shown", forbids=(Scope.PHOTOGRAPH,), ask="CCL")
    )  # fmt: skip
    return key


def run(archive: Archive, *words: str) -> Result:
    return CliRunner().invoke(cli, [*words, "--archive", str(archive.at)])


def printed(archive: Archive, tmp_path: Path, *words: str) -> Path:
    out = tmp_path / "labels.pdf"
    ran = run(archive, "label", *words, "--out", str(out))
    assert ran.exit_code == 0, f"{ran.output} {ran.exception}"
    return out


def pages(file: Path, *, grey: bool = False) -> list[Image.Image]:
    drawn = pypdfium2.PdfDocument(file)
    made = [page.render(scale=DPI / 72).to_pil() for page in drawn]
    drawn.close()
    return [one.convert("L") if grey else one for one in made]


def read(image: Image.Image) -> list[Any]:
    return list(zxingcpp.read_barcodes(np.asarray(image)))


def text_of(file: Path) -> str:
    words = " ".join(page.extract_text() for page in pypdf.PdfReader(file).pages)
    return " ".join(words.replace("\u200b", "").split())


def test_another_reader_reads_the_code_in_colour_and_in_grey(
    archive: Archive, part: str, tmp_path: Path
) -> None:
    file = printed(archive, tmp_path, "BG-1")
    for grey in (False, True):
        [found] = read(pages(file, grey=grey)[0])
        assert found.text == label_code(part)
        assert found.ec_level == "Q"


def test_the_code_that_was_read_finds_the_thing(
    archive: Archive, part: str, tmp_path: Path
) -> None:
    [found] = read(pages(printed(archive, tmp_path, "BG-1"))[0])
    assert archive.collection.find(found.text) == part


def test_the_quiet_zone_is_four_modules_wide_and_white() -> None:
    # ISO/IEC 18004: version 1 has 21 modules, the quiet zone 4 at every side
    svg = qr_svg("V-ABCDE-FGHJK-7")
    assert f'viewBox="0 0 {MODULES} {MODULES}"' in svg
    assert MODULES == 21 + 2 * 4
    runs = re.findall(r"M(\d+) (\d+)h(\d+)", svg)
    assert min(int(x) for x, _, _ in runs) == min(int(y) for _, y, _ in runs) == 4
    assert max(int(x) + int(wide) for x, _, wide in runs) == 25
    assert max(int(y) for _, y, _ in runs) == 24


def test_words_come_before_the_code_and_say_what_is_recorded(
    archive: Archive, part: str, tmp_path: Path
) -> None:
    text = text_of(printed(archive, tmp_path, "BG-1"))
    wanted = ["BG-1", "hinges with screws", "X.1 bowl", "from E-4 hinge set H3",
              "taken off not recorded", "in BX-1", label_code(part)]  # fmt: skip
    places = [text.find(one) for one in wanted]
    assert -1 not in places
    assert places == sorted(places)


def test_hazards_and_restrictions_stand_in_words(
    archive: Archive, part: str, tmp_path: Path
) -> None:
    text = text_of(printed(archive, tmp_path, "BG-1", "--size", "90x50mm"))
    assert "HAZARD: arsenic (suspected)" in text
    assert "RESTRICTION: not to be shown (photograph), ask CCL" in text
    assert "mercury" not in text  # tested on one spot: neither a hazard nor its absence
    assert "safe" not in text.casefold()


def test_a_mark_is_a_pattern_and_a_sign_and_uses_no_colour(
    archive: Archive, part: str, tmp_path: Path
) -> None:
    image = pages(printed(archive, tmp_path, "BG-1", "--size", "90x50mm"))[0]
    shades = np.asarray(image.convert("RGB")).astype(int)
    assert np.abs(shades - shades.mean(axis=2, keepdims=True)).max() <= 1
    plain = archive.fragment("b1")
    assert plain
    bare = pages(printed(archive, tmp_path, "b1", "--size", "90x50mm"))[0]
    dark = [int((np.asarray(one.convert("L")) < 128).sum()) for one in (image, bare)]
    assert dark[0] > dark[1]


def test_the_pdf_claims_the_archival_and_the_accessible_form(
    archive: Archive, part: str, tmp_path: Path
) -> None:
    # ISO 19005-2, 6.6.4, and ISO 14289-1, clause 5: stated in the XMP metadata
    reader = pypdf.PdfReader(printed(archive, tmp_path, "BG-1"))
    root: Any = reader.trailer["/Root"]
    xmp = root["/Metadata"].get_object().get_data().decode()
    assert re.search(r"pdfaid:part>2<", xmp)
    assert re.search(r"pdfaid:conformance>A<", xmp)
    assert re.search(r"pdfuaid:part>1<", xmp)


def test_a_label_printed_again_is_no_new_id_and_records_nothing(
    archive: Archive, part: str, tmp_path: Path
) -> None:
    before = archive.collection.store.head()
    first = printed(archive, tmp_path, "BG-1").read_bytes()
    again = printed(archive, tmp_path, "BG-1")
    assert archive.collection.store.head() == before
    assert again.read_bytes() == first


@pytest.mark.parametrize(
    "command", ["locate", "contents", "cautions", "label", "match-fragment"]
)
def test_a_mistyped_code_is_refused_with_its_reason(
    archive: Archive, part: str, tmp_path: Path, command: str
) -> None:
    code = label_code(part)
    swapped = next(
        code[:i] + code[i + 1] + code[i] + code[i + 2 :]
        for i in range(2, 6)
        if code[i] != code[i + 1]
    )
    more = ["--out", str(tmp_path / "x.pdf")] if command == "label" else []
    ran = run(archive, command, swapped, *more)
    assert isinstance(ran.exception, BadValue)
    assert "check character" in str(ran.exception)
    assert not (tmp_path / "x.pdf").exists()


def test_every_wrong_character_of_a_code_is_refused(archive: Archive, part: str) -> None:
    # ISO 7064, MOD 37-2, finds every single wrong character
    code = label_code(part)
    for place in (2, 5, 9, 12):
        for other in "0A7Z":
            if code[place] == other:
                continue
            with pytest.raises(BadValue, match="check character"):
                archive.collection.find(code[:place] + other + code[place + 1 :])


LONG = "lengthy name of a part with many words " * 4 + "at its end"


@pytest.mark.parametrize("name", [LONG, "über" * 30, "芦苇" * 20, "lid. " * 3])
def test_a_name_wraps_or_shrinks_and_is_never_cut(
    archive: Archive, tmp_path: Path, name: str
) -> None:
    archive.fragment("b1", name)
    out = tmp_path / "labels.pdf"
    ran = run(archive, "label", "b1", "--out", str(out), "--size", "80x40mm")
    if "芦" in name and "no font on this machine" in str(ran.exception):
        pytest.skip("this machine has no font for these characters")
    assert ran.exit_code == 0, ran.exception
    whole = re.sub(r"\s", "", text_of(out))
    assert re.sub(r"\s", "", name) in whole


def test_what_fits_at_no_size_is_refused_and_nothing_is_written(
    archive: Archive, tmp_path: Path
) -> None:
    archive.fragment("b1", LONG * 4)
    out = tmp_path / "labels.pdf"
    ran = run(archive, "label", "b1", "--out", str(out), "--size", "40x20mm")
    assert "label of b1 does not fit on 40 x 20 mm" in str(ran.exception)
    assert not out.exists()


def test_all_that_lies_in_a_box_goes_on_one_sheet_from_the_first_free_place(
    archive: Archive, tmp_path: Path
) -> None:
    keys = [archive.fragment(f"b{n:02}") for n in range(10)]
    file = printed(archive, tmp_path, "--all-in", "BX-1", "--sheet", "3x8", "--skip", "4")
    [page] = pages(file)
    found = sorted(read(page), key=lambda one: (round(one.position.top_left.y / 50),
                                                one.position.top_left.x))  # fmt: skip
    assert [one.text for one in found] == [label_code(key) for key in keys]
    first = found[0].position.top_left
    across, down = (value * 25.4 / DPI for value in (first.x, first.y))
    assert 70 < across < 140  # the second of three columns of 70 mm
    assert 37 < down < 75  # the second of eight rows of 37 mm


def test_copies_stand_side_by_side_and_run_over_to_the_next_sheet(
    archive: Archive, tmp_path: Path
) -> None:
    key = archive.fragment("b1")
    file = printed(archive, tmp_path, "b1", "--sheet", "2x3", "--copies", "7")
    assert [len(read(one)) for one in pages(file)] == [6, 1]
    assert {one.text for page in pages(file) for one in read(page)} == {label_code(key)}


def test_a_page_has_the_size_of_its_label(archive: Archive, tmp_path: Path) -> None:
    archive.fragment("b1")
    [page] = pypdf.PdfReader(printed(archive, tmp_path, "b1", "--size", "6.2x2.9cm")).pages
    size = [float(page.mediabox.width), float(page.mediabox.height)]
    assert size == pytest.approx([62 / 25.4 * 72, 29 / 25.4 * 72], abs=0.01)


def test_a_closed_name_is_printed_only_for_who_may_read_it(
    archive: Archive, tmp_path: Path
) -> None:
    key = archive.fragment("b1", "bundle for the ancestor")
    archive.put(
        Caution(number="C-9", about=(key,), sort=CautionSort.RESTRICTION, what="closed",
                ask="CCL", hide=True)
    )  # fmt: skip
    public = text_of(printed(archive, tmp_path, "b1", "--size", "90x50mm"))
    assert "ancestor" not in public
    assert "restricted: ask CCL" in public
    theirs = printed(archive, tmp_path, "b1", "--size", "90x50mm", "--as", "CCL")
    assert "bundle for the ancestor" in text_of(theirs)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("b1", "--size", "60x30"), "the unit is missing"),
        (("b1", "--size", "60mm"), "two lengths"),
        (("b1", "--size", "60x30g"), "two lengths"),
        (("b1", "--size", "20x8mm"), "no room for a code"),
        (("b1", "--sheet", "3by8"), "columns by rows"),
        (("b1", "--sheet", "0x8"), "columns by rows"),
        (("b1", "--sheet", "3x8", "--size", "80x30mm"), "240 mm wide"),
        (("b1", "--sheet", "3x8", "--skip", "24"), "a sheet has 24 labels"),
        (("b1", "--skip", "2"), "goes with --sheet"),
        (("b1", "--margins", "10x10mm"), "go with --sheet"),
        (("S-1",), "bears no label"),
        ((), "name what to label"),
        (("--all-in", "BX-1"), "nothing is recorded to lie in BX-1"),
        (("b9",), "nothing is recorded under 'b9'"),
    ],
)
def test_what_cannot_be_printed_is_refused_with_its_reason(
    archive: Archive, tmp_path: Path, words: tuple[str, ...], told: str
) -> None:
    if "--all-in" not in words:
        archive.fragment("b1")
    out = tmp_path / "x.pdf"
    ran = run(archive, "label", *words, "--out", str(out))
    assert ran.exit_code != 0
    assert told in str(ran.exception)
    assert not out.exists()


def test_margins_and_gaps_place_the_labels() -> None:
    sheet = read_sheet("3x7", "63.5x38.1mm", "15.1x7.2mm", "2.5x0mm", None)
    assert sheet == LabelSheet((210, 297), (63.5, 38.1), 3, 7, (15.1, 7.2), (2.5, 0))
