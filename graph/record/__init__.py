"""The nouns: what a museum person writes down. No input, no output."""

from .caution import Caution
from .claim import Claim
from .cord import Cord, Twist, read_twist
from .dating import Edtf, Order, compare
from .daycount import date_of, day_of, iso, month_length
from .decision import Decision, Question
from .element import Element
from .evidence_guide import EvidenceKind, evidence_guide, guide_for, usual_strength
from .face import Face, FaceReading, FaceSide, FaceSort, corner_of, length_in_mm
from .fate import Became, Fate
from .feature import Feature, FeatureSort, MaterialClass
from .happening import Happening
from .identity import KeyMaker, fold_number, label_code, new_key, read_label_code
from .kind import KINDS, SHEETS, TYPES
from .label_slip import looks_like_a_code, swaps_that_fit
from .mark import Mark
from .material import Batch, Material
from .measure import UNITS, Measure, read_number, read_unit
from .museum_object import MuseumObject
from .part import INSIDE, Fragment, KeptPart
from .phase import Phase
from .picture import Picture, Region
from .place import Container, Move, Place, Sighting
from .record import (
    SOURCE,
    Link,
    Points,
    Record,
    extra_of,
    head_of,
    is_list,
    pointing_fields,
    word_list,
)
from .sample import Result, Sample
from .source import Role, Source
from .word import (
    EARLIER,
    LATER,
    STANDS_ALONE,
    SYNONYMS,
    TAKES_DATE,
    TAKES_PHASE,
    TAKES_TEXT,
    AgentClass,
    CautionSort,
    Choice,
    ElementSort,
    Hand,
    HappeningSort,
    Judgement,
    Known,
    Relation,
    Reliability,
    SampleState,
    Scope,
    Seen,
    SourceKind,
    Span,
    Stance,
    Status,
    Strength,
    read_word,
)
from .yarn import YARN_SYSTEMS, YarnCount, YarnDesignation, read_designation, tex_of

__all__ = [
    "EARLIER",
    "INSIDE",
    "KINDS",
    "LATER",
    "SHEETS",
    "SOURCE",
    "STANDS_ALONE",
    "SYNONYMS",
    "TAKES_DATE",
    "TAKES_PHASE",
    "TAKES_TEXT",
    "TYPES",
    "UNITS",
    "YARN_SYSTEMS",
    "AgentClass",
    "Batch",
    "Became",
    "Caution",
    "CautionSort",
    "Choice",
    "Claim",
    "Container",
    "Cord",
    "Decision",
    "Edtf",
    "Element",
    "ElementSort",
    "EvidenceKind",
    "Face",
    "FaceReading",
    "FaceSide",
    "FaceSort",
    "Fate",
    "Feature",
    "FeatureSort",
    "Fragment",
    "Hand",
    "Happening",
    "HappeningSort",
    "Judgement",
    "KeptPart",
    "KeyMaker",
    "Known",
    "Link",
    "Mark",
    "Material",
    "MaterialClass",
    "Measure",
    "Move",
    "MuseumObject",
    "Order",
    "Phase",
    "Picture",
    "Place",
    "Points",
    "Question",
    "Record",
    "Region",
    "Relation",
    "Reliability",
    "Result",
    "Role",
    "Sample",
    "SampleState",
    "Scope",
    "Seen",
    "Sighting",
    "Source",
    "SourceKind",
    "Span",
    "Stance",
    "Status",
    "Strength",
    "Twist",
    "YarnCount",
    "YarnDesignation",
    "compare",
    "corner_of",
    "date_of",
    "day_of",
    "evidence_guide",
    "extra_of",
    "fold_number",
    "guide_for",
    "head_of",
    "is_list",
    "iso",
    "label_code",
    "length_in_mm",
    "looks_like_a_code",
    "month_length",
    "new_key",
    "pointing_fields",
    "read_designation",
    "read_label_code",
    "read_number",
    "read_twist",
    "read_unit",
    "read_word",
    "swaps_that_fit",
    "tex_of",
    "usual_strength",
    "word_list",
]
