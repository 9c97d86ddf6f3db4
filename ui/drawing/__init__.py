"""Drawings as SVG text: the same bytes for the screen, the report and the download."""

from .sequence_drawing import (
    SameEvent,
    SequenceData,
    SequenceItem,
    SequenceLoop,
    SequencePhase,
    SequenceRelation,
    draw_sequence,
)
from .svg import Drawing
from .verdict_drawing import VerdictData, VerdictGroup, VerdictPart, draw_verdicts

__all__ = [
    "Drawing",
    "SameEvent",
    "SequenceData",
    "SequenceItem",
    "SequenceLoop",
    "SequencePhase",
    "SequenceRelation",
    "VerdictData",
    "VerdictGroup",
    "VerdictPart",
    "draw_sequence",
    "draw_verdicts",
]
