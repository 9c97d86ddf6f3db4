"""Make the surroundings that Vestige runs in, then run it there.

`python3 demo` and `python3 tests` (Windows: `py demo`, `py tests`) begin here. Both need
nothing but Python itself: the first call makes the folder `.venv` beside this one and
installs Vestige into it; later calls find it ready. The system's own Python is never
written to, so this works as well where it refuses installs (PEP 668).

Runs before anything is installed: standard library only, and in words that a Python too
old for Vestige can still read, so that it can say so.
"""

import hashlib
import importlib.util
import os
import subprocess
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parent.parent
OLDEST = (3, 11)
"""The first Python that Vestige runs on, as in pyproject.toml."""


class NotReady(Exception):
    """The surroundings cannot be made; the text says what is missing and what to do."""


def too_old(version: "Sequence[int]") -> "str | None":
    """Say in one sentence that this Python is too old, or None where it will do.

    *version* is the number of a Python, as (major, minor, ...).
    """
    if tuple(version[:2]) >= OLDEST:
        return None
    return (
        f"Vestige needs Python {OLDEST[0]}.{OLDEST[1]} or newer; "
        f"this is Python {version[0]}.{version[1]}."
    )


def what_venv_lacks() -> "str | None":
    """Say which package of the system to install first, or None where nothing lacks."""
    lacking = [name for name in ("venv", "ensurepip") if not found(name)]
    if not lacking:
        return None
    return (
        f"This Python comes without its module {' and '.join(lacking)}, which makes the "
        "folder that Vestige is installed into. Install it, then run the same command "
        "again. Debian, Ubuntu: sudo apt install "
        f"python{sys.version_info[0]}.{sys.version_info[1]}-venv. "
        "Elsewhere: a Python from the system's packages that includes pip."
    )


def found(module: str) -> bool:
    """Whether this Python has that module."""
    return importlib.util.find_spec(module) is not None


def fingerprint(checkout: Path) -> str:
    """One line that changes when an install made earlier no longer fits.

    Covers what is asked for (pyproject.toml), in which versions (constraints.txt), and
    where the checkout lies, since an install points back to it.
    """
    seal = hashlib.sha256(str(checkout).encode("utf-8"))
    for name in ("pyproject.toml", "constraints.txt"):
        seal.update(b"\0" + (checkout / name).read_bytes())
    return seal.hexdigest()


class Environment:
    """The folder `.venv` of a checkout, with Vestige and some of its extras installed."""

    def __init__(self, checkout: Path) -> None:
        self.checkout = checkout
        self.folder = checkout / ".venv"
        self.stamp = self.folder / "vestige-installed.txt"

    def program(self, name: str) -> Path:
        """Path of a program in the environment; it may not exist yet."""
        if os.name == "nt":
            return self.folder / "Scripts" / f"{name}.exe"
        return self.folder / "bin" / name

    def installed(self) -> "frozenset[str] | None":
        """The extras that are installed and still fit, or None where nothing fits."""
        if not self.program("python").exists() or not self.stamp.exists():
            return None
        seal, *extras = self.stamp.read_text("utf-8").split()
        return frozenset(extras) if seal == fingerprint(self.checkout) else None

    def prepare(self, extras: "Iterable[str]" = ()) -> None:
        """Install Vestige with these extras, unless that was done before.

        Raises NotReady where it cannot be done, with the reason.
        """
        there = self.installed()
        if there is not None and there >= set(extras):
            return
        wanted = sorted(set(extras) | (there or frozenset()))
        self._make()
        say("Installing Vestige into .venv; only the first run does this ...")
        self.stamp.unlink(missing_ok=True)
        what = f".[{','.join(wanted)}]" if wanted else "."
        self._pip("install", "--quiet", "-c", "constraints.txt", "-e", what)
        self.stamp.write_text("\n".join([fingerprint(self.checkout), *wanted]), "utf-8")

    def run(self, command: "Sequence[str]", where: "Path | None" = None) -> int:
        """Run a program of the environment to its end; return its exit code."""
        program, *arguments = command
        try:
            return subprocess.run(
                [str(self.program(program)), *arguments], cwd=where, check=False
            ).returncode
        except KeyboardInterrupt:
            return 130

    def _make(self) -> None:
        if self.program("python").exists() and self._has_pip():
            return
        lacking = what_venv_lacks()
        if lacking:
            raise NotReady(lacking)
        say("Making the folder .venv ...")
        import venv

        try:
            venv.EnvBuilder(clear=True, with_pip=True, symlinks=os.name != "nt").create(
                self.folder
            )
        except (OSError, subprocess.CalledProcessError) as error:
            raise NotReady(f"The folder .venv could not be made: {error}") from error

    def _has_pip(self) -> bool:
        asked = [str(self.program("python")), "-m", "pip", "--version"]
        return subprocess.run(asked, capture_output=True, check=False).returncode == 0

    def _pip(self, *arguments: str) -> None:
        ran = subprocess.run(
            [str(self.program("python")), "-m", "pip", *arguments],
            cwd=self.checkout,
            env={**os.environ, "PIP_USER": "0", "PIP_DISABLE_PIP_VERSION_CHECK": "1"},
            check=False,
        )
        if ran.returncode != 0:
            raise NotReady(
                "The packages could not be installed; pip's own message stands above. "
                "The first run needs the network. Run the same command again when the "
                "cause is gone."
            )


def say(sentence: str) -> None:
    """Tell how far it has come, beside the output of what is run."""
    print(sentence, file=sys.stderr, flush=True)


def with_workers(arguments: "Sequence[str]") -> "list[str]":
    """Arguments for pytest: the whole suite is spread over the processors, up to eight.

    >>> with_workers([])
    ['-n', 'auto', '--maxprocesses', '8']
    >>> with_workers(["-x", "tests/test_cord.py"])
    ['-x', 'tests/test_cord.py']
    """
    return list(arguments) or ["-n", "auto", "--maxprocesses", "8"]


def launch(
    command: "Sequence[str]",
    extras: "tuple[str, ...]" = (),
    where: "Path | None" = None,
) -> int:
    """Prepare the surroundings, run *command* in them, return its exit code.

    An empty *command* only prepares. 1 where the surroundings cannot be made.
    """
    old = too_old(sys.version_info[:2])
    if old:
        say(old)
        return 1
    if not (CHECKOUT / "constraints.txt").exists():
        say("Vestige is installed here already: type  vestige demo")
        return 1
    surroundings = Environment(CHECKOUT)
    try:
        surroundings.prepare(extras)
    except NotReady as lacking:
        say(str(lacking))
        return 1
    return surroundings.run(command, where) if command else 0


if __name__ == "__main__":
    sys.exit(launch([], extras=tuple(sys.argv[1:])))
