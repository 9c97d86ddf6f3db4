"""A disk of a few megabytes, so that it can be really full."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


@contextmanager
def small_disk(at: Path, megabytes: int) -> Iterator[Path]:
    """A file system of its own in memory; a plain folder where none may be mounted."""
    at.mkdir(parents=True, exist_ok=True)
    asked = ["mount", "-t", "tmpfs", "-o", f"size={megabytes}m", "none", str(at)]
    try:
        subprocess.run(asked, check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError):
        yield at
        return
    try:
        yield at
    finally:
        subprocess.run(["umount", "-l", str(at)], check=True)


def need_small_disk(at: Path) -> None:
    """Skip, and say so, where no small disk could be mounted: only root may mount one."""
    if not at.is_mount():
        pytest.skip("a full disk is tried by root on Linux, who may mount a small one")


@contextmanager
def filled(disk: Path, leave: int = 0) -> Iterator[None]:
    """Have the disk full for the block but for ``leave`` bytes."""
    filler = disk / "filler"
    room = os.statvfs(disk)
    with filler.open("wb") as file:
        try:
            os.posix_fallocate(file.fileno(), 0, room.f_bavail * room.f_frsize - leave)
            yield
        finally:
            filler.unlink()
