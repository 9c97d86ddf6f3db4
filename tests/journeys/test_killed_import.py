"""An import that is killed leaves the archive as it was, or whole; and it opens."""

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from vestige.graph.collection import Collection
from vestige.graph.intake import write_workbook
from vestige.graph.record import (
    Claim,
    Element,
    ElementSort,
    MuseumObject,
    Record,
    Relation,
    Strength,
)

ROWS = 3_000
IMPORT = "from vestige.ui.command import main; main()"


@pytest.fixture(scope="module")
def paper(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found: dict[str, Record] = {"O": MuseumObject(number="INV.1", name="invented chest")}
    for one in range(ROWS // 2):
        found[f"E{one}"] = Element(
            number=f"INV.1.{one}", object="O", name="board", sort=ElementSort.PART
        )
        found[f"C{one}"] = Claim(
            number=f"OB.{one}", about=f"E{one}", relation=Relation.NOTED,
            value="saw marks", strength=Strength.WEAK,
        )  # fmt: skip
    file = tmp_path_factory.mktemp("paper") / "chest.xlsx"
    write_workbook(found, file)
    return file


def total(folder: Path) -> int:
    with Collection.open(folder) as collection:
        assert collection.store.verify(deep=True).holds
        return sum(collection.store.tally().values())


@pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9 on Windows")
@pytest.mark.parametrize("seconds", [0.3, 0.6, 0.8, 1.0, 1.2])
def test_a_killed_import_leaves_nothing_half_done(
    paper: Path, tmp_path: Path, seconds: float
) -> None:
    folder = tmp_path / "archive"
    with Collection.create(folder):
        pass
    words = ["import", str(paper), "--by", "registrar", "--archive", str(folder)]
    process = subprocess.Popen(
        [sys.executable, "-c", IMPORT, *words],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    time.sleep(seconds)
    process.send_signal(signal.SIGKILL)
    process.wait()
    assert total(folder) in (0, ROWS + 1)


def test_the_same_import_not_killed_records_every_row(paper: Path, tmp_path: Path) -> None:
    folder = tmp_path / "archive"
    with Collection.create(folder):
        pass
    words = ["import", str(paper), "--by", "registrar", "--archive", str(folder)]
    subprocess.run([sys.executable, "-c", IMPORT, *words], check=True, capture_output=True)
    assert total(folder) == ROWS + 1
