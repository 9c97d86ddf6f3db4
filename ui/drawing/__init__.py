"""Drawings as SVG text: the same bytes for the screen, the report and the download."""

from .arrangement_drawing import (
    ArrangementData,
    ArrangementPiece,
    ArrangementPlace,
    ArrangementState,
    draw_arrangements,
)
from .custody_drawing import (
    CustodyData,
    CustodyGap,
    CustodyPlace,
    CustodySighting,
    CustodyStay,
    draw_custody,
)
from .overlay_data import OverlayData, OverlayLineData, OverlayMarkData
from .overlay_drawing import draw_overlay
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
from .window_drawing import WindowBar, WindowData, draw_windows

__all__ = [
    "ArrangementData",
    "ArrangementPiece",
    "ArrangementPlace",
    "ArrangementState",
    "CustodyData",
    "CustodyGap",
    "CustodyPlace",
    "CustodySighting",
    "CustodyStay",
    "Drawing",
    "OverlayData",
    "OverlayLineData",
    "OverlayMarkData",
    "SameEvent",
    "SequenceData",
    "SequenceItem",
    "SequenceLoop",
    "SequencePhase",
    "SequenceRelation",
    "VerdictData",
    "VerdictGroup",
    "VerdictPart",
    "WindowBar",
    "WindowData",
    "draw_arrangements",
    "draw_custody",
    "draw_overlay",
    "draw_sequence",
    "draw_verdicts",
    "draw_windows",
]
