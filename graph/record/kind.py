"""Every kind of record there is, in the order in which sheets are best filled in."""

from .caution import Caution
from .claim import Claim
from .decision import Decision, Question
from .element import Element
from .face import Face
from .fate import Fate
from .happening import Happening
from .mark import Mark
from .material import Batch, Material
from .museum_object import MuseumObject
from .part import Fragment, KeptPart
from .phase import Phase
from .picture import Picture, Region
from .place import Container, Move, Place, Sighting
from .record import Record
from .sample import Result, Sample
from .source import Role, Source

TYPES: tuple[type[Record], ...] = (
    Role,
    MuseumObject,
    Phase,
    Element,
    Source,
    Claim,
    Happening,
    Material,
    Batch,
    Place,
    Container,
    KeptPart,
    Fragment,
    Sample,
    Result,
    Move,
    Sighting,
    Fate,
    Decision,
    Question,
    Caution,
    Picture,
    Region,
    Face,
    Mark,
)
KINDS: dict[str, type[Record]] = {model.kind: model for model in TYPES}
SHEETS: dict[str, type[Record]] = {model.sheet: model for model in TYPES}
