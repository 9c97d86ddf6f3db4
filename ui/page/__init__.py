"""The pages of the app: they ask the answers and show them; nothing is computed here.

Streamlit is imported only in this room and in `ui/app.py`. What a page needs to know it
asks the desk (`desk.py`), which opens the archive for one reader and one day as known.
"""

from .desk import Desk, Shelf
from .draft import Drafts

__all__ = ["Desk", "Drafts", "Shelf"]
