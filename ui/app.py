"""The app: pages over the same answers as the command line. `vestige serve` starts it.

Without accounts it runs on this machine, for one user, in one role as reader that is chosen
at the start. With accounts each person reads in their own role (`ui/gate`). What is closed
to a reader is closed in every page, table, drawing and file, since each is made from a
state that was closed before.
"""

import os
from pathlib import Path


def opening() -> tuple[Path, str | None]:
    """The archive that was named at the start, and the role of its reader."""
    folder = Path(os.environ.get("VESTIGE_ARCHIVE") or ".")
    return folder, os.environ.get("VESTIGE_ROLE") or None


def main() -> None:
    """Draw the page that is asked for."""
    import streamlit as st

    from vestige.ui.gate import words
    from vestige.ui.gate.present import NotSignedIn, present
    from vestige.ui.page import tongue
    from vestige.ui.page.frame import Frame

    folder, role = opening()
    tongue.begin(folder)
    try:
        who = present(folder, role, st.context.cookies)
    except NotSignedIn as why:  # the time is over, or the door was gone around
        st.error(str(why))
        st.html(f'<p><a href="/sign-in" target="_self">{words.SIGN_IN}</a></p>')
        return
    Frame(folder, who).show()


if __name__ == "__main__":
    main()
