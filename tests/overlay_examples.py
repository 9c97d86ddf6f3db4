"""Invented marks on two faces and two edges, for tests of the overlay."""

from vestige.ui.drawing import OverlayData, OverlayLineData, OverlayMarkData

_MET, _LONELY = "meets its partner", "should have met and did not"


def boards_overlay() -> OverlayData:
    """Two boards that lay face to face, the upper one larger; drips through holes."""
    return OverlayData(
        "Under side of board 1 and top of board 2, P1 making",
        "board 1 under",
        "board 2 top",
        (
            ((300.2, 0.4), (0.1, 0.6), (0.3, 200.5), (300.4, 200.2)),
            ((0.0, 0.0), (220.0, 0.0), (220.0, 200.0), (0.0, 200.0)),
        ),
        (
            OverlayMarkData(True, "a1", "drip", (40, 30), _MET, "b1", 0.4),
            OverlayMarkData(True, "a2", "drip", (120, 150), _MET, "b2", 1.2),
            OverlayMarkData(True, "a3", "drip", (128, 156), _LONELY),
            OverlayMarkData(True, "a4", "drip", (260, 90), "lies beyond the other face"),
            OverlayMarkData(False, "b1", "drip", (40.3, 30.2), _MET, "a1", 0.4),
            OverlayMarkData(False, "b2", "drip", (121, 150.6), _MET, "a2", 1.2),
            OverlayMarkData(False, "b3", "drip", (60, 180), _LONELY),
        ),
        (
            OverlayLineData(True, "a5", "crack", ((150, 0), (160, 80), (140, 140))),
            OverlayLineData(False, "b4", "ghost", ((20, 20), (60, 20), (60, 50)), True),
        ),
        ("board 1 under: in mirror image, turned 0.1°.", "They match; p 0.005."),
        mirrored=True,
    )


def leaves_beside() -> OverlayData:
    """The edges of two leaves with hinge cuts, one of which has no partner."""
    return OverlayData(
        "Right edge of leaf A and left edge of leaf B, P1 making",
        "A-right",
        "B-left",
        (((0.0, 0.0), (0.0, 1800.0)), ((40.0, 0.0), (40.0, 1800.0))),
        (
            OverlayMarkData(True, "A-1", "H1 mortise", (0, 212), _MET, "B-1", 0.0),
            OverlayMarkData(True, "A-2", "H1 mortise", (0, 903), _MET, "B-2", 1.0),
            OverlayMarkData(True, "A-3", "H1 mortise", (0, 910), _LONELY),
            OverlayMarkData(False, "B-1", "H1 mortise", (40, 212), _MET, "A-1", 0.0),
            OverlayMarkData(False, "B-2", "H1 mortise", (40, 904), _MET, "A-2", 1.0),
        ),
        notes=("A-right: upright, lower ends level.",),
        edges=True,
    )
