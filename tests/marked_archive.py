"""A small invented object with marks, written as sheets and brought in by the commands."""

import csv
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from vestige.ui.command import cli
from vestige.ui.command.asking import plainly

Row = dict[str, object]

BASE: Mapping[str, Sequence[Row]] = {
    "Object": [{"number": "BOX.1", "name": "invented box", "made when": "1850~"}],
    "Phases": [
        {"short name": "P1", "order": 1, "name": "making", "span": "making"},
        {"short name": "P2", "order": 2, "name": "use", "span": "use-life"},
    ],
    "Elements": [
        {"number": f"E-{n}", "name": f"board {n}", "kind": "part", "core": core}
        for n, core in (("A", "yes"), ("B", ""), ("C", ""))
    ],
    "Sources": [
        {"number": "S-1", "name": "examination", "kind": "examination", "dated": "2020"}
    ],
}


def face(number: str, element: str, **more: object) -> Row:
    """A row of the sheet Faces: a face of 300 x 200 mm unless said otherwise."""
    plain: dict[str, object] = {
        "number": number,
        "element": element,
        "kind": "face",
        "side": "front",
        "width": "300 mm",
        "height": "200 mm",
    }
    return plain | more


def edge(number: str, element: str, side: str = "left", **more: object) -> Row:
    """A row of the sheet Faces: an edge of 1,800 mm unless said otherwise."""
    return face(number, element, kind="edge", side=side, width="", height="1800 mm") | more


def points(
    on: str, places: Sequence[tuple[float, float]], what: str = "hole", **more: object
) -> list[Row]:
    """Rows of the sheet Marks: one point for each place in millimetres."""
    return [
        {
            "number": f"{on}-{what}-{n}",
            "face": on,
            "kind": what,
            "x": f"{x:.3f} mm",
            "y": f"{y:.3f} mm",
            **more,
        }
        for n, (x, y) in enumerate(places, start=1)
    ]


def heights(
    on: str, places: Sequence[float], what: str = "hinge", **more: object
) -> list[Row]:
    """Rows of the sheet Marks: one height for each place in millimetres."""
    return [
        {
            "number": f"{on}-{what}-{n}",
            "face": on,
            "kind": what,
            "height": f"{h} mm",
            **more,
        }
        for n, h in enumerate(places, start=1)
    ]


def sheets(folder: Path, **rows: Sequence[Row]) -> Path:
    """Write the base, and rows by sheet, as a folder of CSV files."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, of in {**BASE, **{name: of for name, of in rows.items() if of}}.items():
        heads = list(dict.fromkeys(head for row in of for head in row))
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, heads)
            writer.writeheader()
            writer.writerows(of)
    return folder


def archive(home: Path, **rows: Sequence[Row]) -> Path:
    """A new archive that holds the base and the rows given."""
    at = home / "archive"
    ran = CliRunner().invoke(cli, ["new", str(at)])
    assert ran.exit_code == 0, ran.output
    ran = bring(at, sheets(home / "sheets", **rows))
    assert ran.exit_code == 0, ran.output
    return at


def bring(at: Path, paper: Path) -> Result:
    """Import a paper into an archive."""
    words = ["import", str(paper), "--by", "OC", "--archive", str(at)]
    return CliRunner().invoke(cli, words)


def asked(at: Path, *words: str) -> Result:
    """Run one command on an archive."""
    return CliRunner().invoke(cli, [*words, "--archive", str(at)])


def refused(capsys: Any, at: Path, *words: str) -> str:
    """What a user is told by a command that is refused: one sentence, no traceback."""
    code = plainly(
        lambda: cli.main([*words, "--archive", str(at)], "vestige", standalone_mode=False)
    )
    told = capsys.readouterr()
    assert code != 0, told.out
    assert "Traceback" not in told.err
    return str(told.err)
