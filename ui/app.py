"""The app: pages over the same answers as the command line. `vestige serve` starts it.

It runs on this machine, for one user, in one role as reader that is chosen at the start;
there is no sign-in. What is closed to that role is closed in every page, table, drawing
and file, since each is made from a state that was closed before.
"""

import os
from pathlib import Path


def opening() -> tuple[Path, str | None]:
    """The archive that was named at the start, and the role of its reader."""
    folder = Path(os.environ.get("VESTIGE_ARCHIVE") or ".")
    return folder, os.environ.get("VESTIGE_ROLE") or None


def main() -> None:
    """Draw the page that is asked for."""
    from vestige.ui.page.frame import Frame

    folder, role = opening()
    Frame(folder, role).show()


if __name__ == "__main__":
    main()
