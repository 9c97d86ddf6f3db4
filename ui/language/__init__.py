"""The language of the pages: catalogues of translations, dates, numbers and any script.

What answers, sheets and JSON say stays in English and ISO forms; only what a page shows
is translated. How to add a language is said in `template.py`.
"""

from .catalogue import Catalogue, Fault, catalogue_of, languages, retold
from .chosen import asks, fitting, language, preferred, speak, speaking, tag
from .claim import claim
from .script import runs_left
from .spoken import date, day, figures, number, own_name, quantity
from .verdict import verdict
from .wording import Wording, column, english, translatable, word

__all__ = [
    "Catalogue",
    "Fault",
    "Wording",
    "asks",
    "catalogue_of",
    "claim",
    "column",
    "date",
    "day",
    "english",
    "figures",
    "fitting",
    "language",
    "languages",
    "number",
    "own_name",
    "preferred",
    "quantity",
    "retold",
    "runs_left",
    "speak",
    "speaking",
    "tag",
    "translatable",
    "verdict",
    "word",
]
