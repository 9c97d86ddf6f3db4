"""Broken papers: each is refused in words that name the place and the remedy.

No source: the list is what people do to spreadsheets in practice. Offsets in zip files are
those of the .ZIP File Format Specification (APPNOTE) by PKWARE.
"""

import datetime
from collections.abc import Iterator
from pathlib import Path

import pytest
from paper_makers import (
    Make,
    bomb,
    cell,
    changed,
    crowd,
    cut_xml,
    declare_encrypted,
    declare_less,
    declare_other_packing,
    entity,
    error_value,
    far_cell,
    formula_in_rubble,
    merge,
    parts,
    patched,
    put,
    raw,
    rows,
    sheet_gone,
    text,
    touched,
    two_objects,
    two_of_a_name,
)
from small_papers import drafted, good, imported, set_cell, workbook

from vestige.graph.intake import acts
from vestige.graph.problem import Weight
from vestige.graph.store import SqliteStore

Case = tuple[str, Make, str, tuple[str, int, str], str]


HEAD = "number,name,kind,object\n"
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"

FILES: list[Case] = [
    ("no file", lambda home: home / "a.xlsx", "no file", ("", 0, ""), "no file 'a.xlsx'"),
    ("zero bytes", raw("a.xlsx", b""), "unreadable file", ("", 0, ""), "empty"),
    ("not packed", raw("a.xlsx", b"number"), "unreadable file", ("", 0, ""),
     "not a workbook"),
    ("cut off", patched(lambda data: data.__delitem__(slice(900, None))), "unreadable file",
     ("", 0, ""), "damaged"),
    ("another ending", raw("a.pdf", b"%PDF"), "unknown file", ("", 0, ""), ".xlsx"),
    ("old format", raw("a.xls", OLE), "unknown file", ("", 0, ""), "save it as .xlsx"),
    ("old format renamed", raw("a.xlsx", OLE + b"x"), "unreadable file", ("", 0, ""),
     ".xls"),
    ("password", raw("a.xlsx", OLE + "EncryptedPackage".encode("utf-16-le")),
     "unreadable file", ("", 0, ""), "password"),
    ("macro file", raw("a.xlsm", b"PK"), "macro file", ("", 0, ""), "macros"),
    ("macros inside", parts(lambda members: members.update({"xl/vbaProject.bin": b"x"})),
     "unreadable file", ("", 0, ""), "macros"),
    ("zip bomb", bomb, "unreadable file", ("", 0, ""), "zip bomb"),
    ("crowd of parts", parts(crowd), "unreadable file", ("", 0, ""), "zip bomb"),
    ("lying size", patched(declare_less), "unreadable file", ("", 0, ""), "damaged"),
    ("encrypted parts", patched(declare_encrypted), "unreadable file", ("", 0, ""),
     "password"),
    ("odd packing", patched(declare_other_packing), "unreadable file", ("", 0, ""),
     "save it again"),
    ("entities", parts(entity), "unreadable file", ("", 0, ""), "entities"),
    ("packed but no workbook", parts(lambda members: members.pop("xl/workbook.xml")),
     "unreadable file", ("", 0, ""), "not a workbook"),
    ("list of sheets cut",
     parts(lambda members: members.update({"xl/workbook.xml": b"<workbook>"})),
     "unreadable file", ("", 0, ""), "list of sheets"),
    ("cells cut off", parts(cut_xml), "unreadable file", ("", 0, ""), "damaged"),
    ("two parts of a name", parts(two_of_a_name), "unreadable file", ("", 0, ""),
     "same name"),
    ("sheet gone", parts(sheet_gone), "unreadable file", ("", 0, ""), "'Elements'"),
    ("rubble with a formula", parts(formula_in_rubble), "unreadable file", ("", 0, ""),
     "damaged"),
    ("stray cell", parts(far_cell), "stray cell", ("Elements", 0, ""), "XFD1048576"),
    ("no known sheet", lambda home: workbook(home / "a.xlsx", {"Daten": [["a"], ["b"]]}),
     "no sheets", ("", 0, ""), "template"),
]  # fmt: skip

HEADS: list[Case] = [
    ("misspelt sheet", changed(lambda s: s.update({"Elementz": s.pop("Elements")})),
     "unknown sheet", ("Elementz", 0, ""), "'Elements'"),
    ("misspelt column", cell("Elements", 1, "number", "Nubmer"), "unknown column",
     ("Elements", 1, "Nubmer"), "Did you mean 'number'"),
    ("needed column missing", changed(lambda s: [row.pop(1) for row in s["Observations"]]),
     "missing column", ("Observations", 1, ""), "'about'"),
    ("number column missing", changed(lambda s: [row.pop(0) for row in s["Sources"]]),
     "missing column", ("Sources", 1, ""), "'number'"),
    ("column twice", cell("Elements", 1, "size", "parent"), "column twice",
     ("Elements", 1, "parent"), "Keep one"),
    ("no head", changed(lambda s: s["Elements"].pop(0)), "no head", ("Elements", 0, ""),
     "number, object, name, kind"),
    ("head too far down", changed(lambda s: s.update({"Elements": [["x"]] * 11
     + s["Elements"]})), "no head", ("Elements", 0, ""), "first 10 rows"),
]  # fmt: skip

CELLS: list[Case] = [
    ("word for a number", cell("Phases", 2, "order", "one"), "bad whole number",
     ("Phases", 2, "order"), "digits only"),
    ("half a number", cell("Phases", 2, "order", 1.5), "bad whole number",
     ("Phases", 2, "order"), "'1.5'"),
    ("truth for a text", cell("Elements", 2, "name", True), "bad text",
     ("Elements", 2, "name"), "TRUE"),
    ("time for a date", cell("Moves", 2, "when", datetime.time(3, 4)), "bad date",
     ("Moves", 2, "when"), "time of day"),
    ("number made a date", cell("Elements", 3, "part of", datetime.date(2024, 3, 1)),
     "bad name", ("Elements", 3, "part of"), "format the column as text"),
    ("formula", put("Elements", "B3", "=A3&1"), "formula", ("Elements", 3, "name"), "B3"),
    ("formula in a date", put("Moves", "C2", "=TODAY()"), "formula", ("Moves", 2, "when"),
     "as values only"),
    ("error value", touched(error_value), "error value", ("Elements", 3, "name"), "B3"),
    ("merged cells", touched(merge), "merged cells", ("Elements", 2, "kind"), "C2:C3"),
    ("impossible day", cell("Moves", 2, "when", "1998-02-30"), "bad date",
     ("Moves", 2, "when"), "1998-02-30"),
    ("ambiguous day", cell("Moves", 2, "when", "12.3.1998"), "bad date",
     ("Moves", 2, "when"), "1998-03-12 or 1998-12-03"),
    ("circa", cell("Object", 2, "made when", "ca. 1780"), "bad date",
     ("Object", 2, "made when"), "1780~"),
    ("reversed span", cell("Object", 2, "made when", "1790/1770"), "bad date",
     ("Object", 2, "made when"), "1790/1770"),
    ("date where one is needed", cell("Observations", 3, "value", "after the war"),
     "bad date", ("Observations", 3, "value"), "'not before' takes a date"),
    ("no unit", cell("Elements", 2, "size", 560), "bad measure", ("Elements", 2, "size"),
     "unit"),
    ("unknown unit", cell("Elements", 2, "size", "5 ells"), "bad measure",
     ("Elements", 2, "size"), "ells"),
    ("clockwise", cell("Elements", 4, "twist", "clockwise"), "bad cord",
     ("Elements", 4, "twist"), "write S"),
    ("misspelt word", cell("Observations", 2, "strength", "stong"), "bad word",
     ("Observations", 2, "strength"), "'strong'"),
    ("unknown word", cell("Elements", 2, "kind", "widget"), "bad word",
     ("Elements", 2, "kind"), "absence"),
    ("neither yes nor no", cell("Elements", 2, "core", "perhaps"), "bad yes or no",
     ("Elements", 2, "core"), "write yes or no"),
    ("unprintable sign", text("Elements.csv", HEAD + "E-9,a\x07b,part,\n"), "bad text",
     ("Elements", 2, "name"), "U+0007"),
    ("endless text", text("Elements.csv", HEAD + f"E-9,{'x' * 33_000},part,\n"), "bad text",
     ("Elements", 2, "name"), "32,767"),
    ("empty needed cell", cell("Elements", 3, "name", ""), "empty cell",
     ("Elements", 3, "name"), "what it is;"),
    ("no number", cell("Elements", 3, "number", " "), "empty cell",
     ("Elements", 3, "number"), "number"),
    ("two numbers in one cell", cell("Elements", 3, "part of", "E-1; E-3"), "bad name",
     ("Elements", 3, "part of"), "semicolon"),
    ("stroke in a phase", cell("Phases", 2, "short name", "P/1"), "bad name",
     ("Phases", 2, "short name"), "stroke"),
]  # fmt: skip

SENSE: list[Case] = [
    ("number twice", cell("Elements", 3, "number", "e-1"), "number twice",
     ("Elements", 3, "number"), "sheet Elements, row 2"),
    ("number twice in two sheets", cell("Sources", 2, "number", "E-1"), "number twice",
     ("Sources", 2, "number"), "number of its own"),
    ("number of another kind", rows("Elements", ["X-1", "a", "part"]), "number taken",
     ("Elements", 5, "number"), "place"),
    ("dangling", cell("Elements", 3, "part of", "E-11"), "dangling reference",
     ("Elements", 3, "part of"), "Did you mean 'E-1'"),
    ("dangling in a list", cell("Moves", 2, "what", "E-3; Q-8"), "dangling reference",
     ("Moves", 2, "what"), "'Q-8'"),
    ("wrong kind", cell("Moves", 2, "to", "S-1"), "wrong kind", ("Moves", 2, "to"),
     "container or place"),
    ("unknown phase", cell("Observations", 2, "phase", "P7"), "dangling reference",
     ("Observations", 2, "phase"), "P1, P2"),
    ("phase without an object", changed(two_objects), "dangling reference",
     ("Observations", 2, "phase"), "/P1"),
    ("which object", rows("Object", ["ABC.2", "stand", "", ""]), "missing column",
     ("Phases", 1, ""), "number of the object"),
    ("part of itself", cell("Elements", 2, "part of", "E-1"), "loop",
     ("Elements", 2, "part of"), "E-1 > E-1"),
    ("parts in a ring", cell("Elements", 2, "part of", "E-3"), "loop",
     ("Elements", 2, "part of"), "E-1 > E-3 > E-2 > E-1"),
    ("places in a ring", cell("Places", 2, "inside", "R-1/2"), "loop",
     ("Places", 2, "inside"), "R-1 > R-1/2 > R-1"),
    ("copies in a ring", cell("Sources", 2, "copies", "S-2"), "loop",
     ("Sources", 2, "copies"), "S-1 > S-2 > S-1"),
    ("derived in a ring", cell("Observations", 3, "derived from", "O-3"), "loop",
     ("Observations", 3, "derived from"), "O-2 > O-3 > O-2"),
    ("absence without method", cell("Elements", 3, "kind", "absence"), "incomplete",
     ("Elements", 3, "looked for by"), "'looked for by'"),
    ("relation without date", cell("Observations", 3, "value", ""), "incomplete",
     ("Observations", 3, "value"), "needs a date"),
    ("relation without other", cell("Observations", 4, "other element", ""), "incomplete",
     ("Observations", 4, "other element"), "name the other one"),
    ("relation to itself", cell("Observations", 4, "other element", "E-3"), "incomplete",
     ("Observations", 4, ""), "relation to itself"),
    ("restriction without role", rows("Cautions", ["number", "about", "kind", "what"],
     ["C-1", "E-1", "restriction", "no pictures"]), "incomplete",
     ("Cautions", 2, "whom to ask"), "'whom to ask'"),
    ("hazard not said how known", rows("Cautions", ["number", "about", "kind", "what"],
     ["C-1", "E-1", "hazard", "arsenic"]), "incomplete",
     ("Cautions", 2, "known or suspected"), "tested negative"),
    ("move twice", rows("Moves", ["E-3", "R-1/2", "2020-02-18"]), "row twice",
     ("Moves", 3, "what"), "row 2"),
]  # fmt: skip

TEXTS: list[Case] = [
    ("empty text file", raw("Elements.csv", b"\n"), "unreadable file", ("Elements", 0, ""),
     "empty"),
    ("UTF-16 without mark", text("Elements.csv", HEAD, "utf-16-le"), "unreadable file",
     ("Elements", 0, ""), "UTF-8"),
    ("no encoding fits", raw("Elements.csv", HEAD.encode() + b"E-9,\x81,part,\n"),
     "unreadable file", ("Elements", 0, ""), "UTF-8"),
    ("workbook named csv", raw("Elements.csv", b"PK\x03\x04"), "unreadable file",
     ("Elements", 0, ""), ".xlsx"),
    ("open quotation mark", text("Elements.csv", HEAD + 'E-9,"a,part,\n'),
     "stray quotation mark", ("Elements", 2, ""), "double"),
    ("text after quotation mark", text("Elements.csv", HEAD + 'E-9,"6" nail,part,\n'),
     "stray quotation mark", ("Elements", 2, ""), "6"),
    ("one cell too many", text("Elements.csv", HEAD + "E-9,a, b,part,ABC.1\n"),
     "too many cells", ("Elements", 2, ""), "quotation marks"),
    ("file of no sheet", text("Teile.csv", HEAD), "unknown sheet", ("", 0, ""),
     "Elements.csv"),
    ("empty folder", lambda home: home, "no sheets", ("", 0, ""), "Elements.csv"),
    ("empty case file", raw("a.yaml", b""), "unreadable file", ("", 0, ""), "sections"),
    ("case file not UTF-8", raw("a.yaml", b"Object:\n  name: \xe9\n"), "unreadable file",
     ("", 2, ""), "UTF-8"),
    ("case file with NUL", raw("a.yaml", b"Object:\n  name: \0\n"), "unreadable file",
     ("", 0, ""), "does not allow"),
    ("case file with tabs", text("a.yaml", "Object:\n\t- number: X\n"), "unreadable file",
     ("", 2, ""), "indents"),
    ("key twice", text("a.yaml", "Object:\n - number: X\n   number: Y\n"),
     "unreadable file", ("", 3, ""), "in line 2"),
    ("aliases", text("a.yaml", "a: &a [x, x]\nb: [*a, *a, *a]\n"), "unreadable file",
     ("", 1, ""), "anchor or an alias"),
    ("tag", text("a.yaml", "Object: !!python/name:os.system x\n"), "unreadable file",
     ("", 1, ""), "tag"),
    ("two documents", text("a.yaml", "Object: []\n---\nPlaces: []\n"), "unreadable file",
     ("", 3, ""), "second document"),
    ("far too deep", text("a.yaml", "a: " + "[" * 5000), "unreadable file", ("", 1, ""),
     "nesting"),
    ("too deep", text("a.yaml", "a: [[[[[x]]]]]"), "unreadable file", ("", 1, ""),
     "nested"),
    ("no sections", text("a.yaml", "- number: X\n"), "unreadable file", ("", 1, ""),
     "sections"),
    ("entry without keys", text("a.yaml", "Object:\n - X\n"), "no entry",
     ("Object", 2, ""), "keys"),
    ("unknown key", text("a.yaml", "Object:\n - number: X\n   nmae: y\n"),
     "unknown column", ("Object", 3, "nmae"), "'name'"),
    ("list for one value", text("a.yaml", "Object:\n - number: X\n   name: [a, b]\n"),
     "bad list", ("Object", 3, "name"), "one value"),
]  # fmt: skip

ALL = [*FILES, *HEADS, *CELLS, *SENSE, *TEXTS]


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqliteStore]:
    """An archive with one place, X-1; no test of this file may change it."""
    store = SqliteStore(":memory:")
    sheets = {"Places": [["number", "name"], ["X-1", "store"]]}
    imported(workbook(tmp_path_factory.mktemp("papers") / "first.xlsx", sheets), store)
    yield store
    store.close()


def test_there_are_at_least_sixty_broken_papers() -> None:
    assert len({case[0] for case in ALL}) == len(ALL) >= 60


@pytest.mark.parametrize("case", ALL, ids=[case[0] for case in ALL])
def test_a_broken_paper_is_refused_in_plain_words(
    case: Case, tmp_path: Path, archive: SqliteStore
) -> None:
    _, make, code, (sheet, row, column), words = case
    before = archive.head()
    found = drafted(make(tmp_path), archive)
    meant = [one for one in found.errors if one.code == code]
    assert meant, [str(one) for one in found.problems]
    problem = meant[0]
    place = problem.place
    assert (place.sheet, place.row, place.column) == (sheet, row, column), str(problem)
    assert place.file
    assert words in str(problem), str(problem)
    assert problem.right or "; " in problem.wrong, "it does not say what would be right"
    assert acts(found) == []
    assert archive.head() == before


DANGLES = {"no number", "stroke in a phase", "number twice", "number twice in two sheets"}
"""Mistakes after which other rows name a number that is not there."""
ALONE = [one for one in (*CELLS, *SENSE) if one[0] not in DANGLES | {"which object"}]


@pytest.mark.parametrize("case", ALONE, ids=[case[0] for case in ALONE])
def test_one_mistake_makes_one_error(
    case: Case, tmp_path: Path, archive: SqliteStore
) -> None:
    path = case[1](tmp_path)
    codes = [(one.code, one.place.sheet) for one in drafted(path, archive).errors]
    if path.suffix == ".xlsx":  # the other files lack the rows that theirs point to
        assert codes == [(case[2], case[3][0])]


def test_all_mistakes_are_said_at_once(tmp_path: Path) -> None:
    sheets = good()
    for sheet, row, head, value in (
        ("Phases", 2, "order", "one"),
        ("Elements", 2, "size", "560"),
        ("Elements", 3, "part of", "E-77"),
        ("Elements", 4, "twist", "clockwise"),
        ("Observations", 2, "when", "12.3.1998"),
        ("Observations", 4, "strength", "very"),
        ("Moves", 2, "to", "S-1"),
    ):
        set_cell(sheets, sheet, row, head, value)
    found = drafted(workbook(tmp_path / "a.xlsx", sheets))
    places = [(one.place.sheet, one.place.row, one.place.column) for one in found.errors]
    assert places == [
        ("Phases", 2, "order"),
        ("Elements", 2, "size"),
        ("Elements", 3, "part of"),
        ("Elements", 4, "twist"),
        ("Observations", 2, "when"),
        ("Observations", 4, "strength"),
        ("Moves", 2, "to"),
    ]


def test_the_sheets_that_the_mistakes_are_made_in_have_none(tmp_path: Path) -> None:
    found = drafted(workbook(tmp_path / "a.xlsx", good()))
    assert found.problems == ()
    assert len(found.new) == 14


def test_a_lost_letter_is_a_query(tmp_path: Path) -> None:
    found = drafted(
        workbook(
            tmp_path / "a.xlsx", set_cell(good(), "Elements", 2, "name", "Fl\ufffdgel")
        )
    )
    assert [one.weight for one in found.problems] == [Weight.QUERY]
    assert "wrong encoding" in str(found.problems[0])
