"""Read whatever a user hands over: a workbook, a folder of CSV files, a case file."""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from .paper import Paper, unreadable

KINDS: Final = (
    "Give a workbook (.xlsx), a folder of CSV files, one CSV file, or a case file (.yaml)."
)
_OTHER_WORKBOOKS: Final = frozenset({".xls", ".xlsb", ".ods", ".numbers", ".xltx"})


def read_papers(path: str | Path) -> Paper:
    """Everything that a file or folder says, by sheet, row and column.

    A file that cannot be read gives a paper without sheets and with the problem; nothing
    is raised for what a user may have done.
    """
    file = Path(path)
    try:
        return _read(file)
    except FileNotFoundError:
        return unreadable(file, "no file", f"There is no file '{file.name}'.", KINDS)
    except PermissionError:
        return unreadable(
            file,
            "unreadable file",
            "The file may not be read.",
            "Close it where it is open, or ask for leave to read it.",
        )
    except OSError as error:
        wrong = f"The file cannot be read: {error.strerror or error}."
        return unreadable(file, "unreadable file", wrong, KINDS)


def _read(file: Path) -> Paper:
    from .csv_folder import read_csv_folder

    if file.is_dir():
        return read_csv_folder(file)
    ending = file.suffix.lower()
    reader = _reader(ending)
    if reader is not None:
        return reader(file)
    file.stat()
    if ending in _OTHER_WORKBOOKS:
        wrong = f"Workbooks with the ending {ending} are not read."
        return unreadable(file, "unknown file", wrong, "Open it and save it as .xlsx.")
    wrong = f"Files with the ending '{ending}' are not read."
    return unreadable(file, "unknown file", wrong, KINDS)


def _reader(ending: str) -> Callable[[Path], Paper] | None:
    if ending in (".xlsx", ".xlsm"):
        from .workbook import read_workbook

        return read_workbook
    if ending in (".csv", ".tsv"):
        from .csv_folder import read_csv_file

        return read_csv_file
    if ending in (".yaml", ".yml"):
        from .case_file import read_case_file

        return read_case_file
    return None
