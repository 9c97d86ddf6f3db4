"""Copy the pictures of an archive beside another, none written over another picture."""

import hashlib
import shutil
from dataclasses import dataclass
from pathlib import Path

from vestige.graph.errors import ArchiveUnusable

_PART = ".part"


@dataclass(frozen=True, slots=True)
class Copied:
    """What was copied.

    Attributes:
        new: how many pictures were copied.
        before: how many were there already, byte for byte.
        different: names that are there already with other bytes; left as they are.
    """

    new: int
    before: int
    different: tuple[str, ...]


def copy_pictures(source: Path, target: Path) -> Copied:
    """Copy what is not there yet; done again, it goes on where it was stopped.

    Every copy is read back and compared by SHA-256 before it gets its name.

    Raises:
        ArchiveUnusable: where a file cannot be read or written, or a copy differs.
    """
    new, before, different = 0, 0, list[str]()
    if not source.is_dir():
        return Copied(0, 0, ())
    for file in sorted(source.rglob("*")):
        if not file.is_file() or file.name.endswith(_PART):
            continue
        name = file.relative_to(source)
        there = target / name
        try:
            if not there.exists():
                _copy(file, there)
                new += 1
            elif _sum(file) == _sum(there):
                before += 1
            else:
                different.append(str(name))
        except OSError as error:
            raise ArchiveUnusable(
                f"{error.filename or there}: {error.strerror}; the record itself is"
                " carried, give the same command again for the rest of the pictures"
            ) from error
    return Copied(new, before, tuple(different))


def _copy(file: Path, there: Path) -> None:
    there.parent.mkdir(parents=True, exist_ok=True)
    part = there.with_name(there.name + _PART)
    shutil.copyfile(file, part)
    if _sum(part) != _sum(file):
        part.unlink()
        raise ArchiveUnusable(f"{there}: the copy is not what {file} is; try again")
    shutil.copystat(file, part)
    part.rename(there)


def _sum(file: Path) -> str:
    with file.open("rb") as read:
        return hashlib.file_digest(read, "sha256").hexdigest()
