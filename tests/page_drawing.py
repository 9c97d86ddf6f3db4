"""How a test draws one page without a browser, whatever its address."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import streamlit
from streamlit.testing.v1 import AppTest

from vestige.ui import app


def drawn(
    archive: Path, name: str, query: dict[str, str], patch: pytest.MonkeyPatch
) -> AppTest:
    """A page by its address, as `st.navigation` would choose it in a browser."""

    def chosen(pages: list[Any], **_: object) -> SimpleNamespace:
        [page] = [one for one in pages if one._page.__name__ == name]
        return SimpleNamespace(run=page._page)

    patch.setenv("VESTIGE_ARCHIVE", str(archive))
    patch.delenv("VESTIGE_ROLE", raising=False)
    patch.setattr(streamlit, "navigation", chosen)
    page = AppTest.from_file(str(Path(app.__file__)), default_timeout=60)
    for key, value in query.items():
        page.query_params[key] = value
    return page.run()
