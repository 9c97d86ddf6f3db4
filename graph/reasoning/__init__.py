"""What follows from what is recorded, and how surely. Reads a state, touches no disk.

Marks can be matched on arrays alone, without any archive: `register_points` and
`fit_placement` take points of shape (n, 2) in millimetres, `register_edges` heights as
`EdgeMark`, `search_rows` pieces with their edges; `chance_of_faces`, `chance_of_edges` and
`chance_of_row` say what chance would do, `PictureScale` turns pixels into millimetres.

Example:
    >>> import numpy as np
    >>> a = np.array([[20, 30], [250, 40], [130, 160], [60, 120], [210, 110], [90, 55]])
    >>> b = Placement(mirrored=True, angle_deg=0, shift_mm=(300, 0)).carry(a * 1.0)
    >>> match = register_points(a * 1.0, b, FACE_TO_FACE)
    >>> str(match.outcome), len(match.best.pairs), match.best.placement.mirrored
    ('placed', 6, True)
"""

from .account import Grade, VerdictWord, accounts, grade_of
from .anachronism import DatingFinding, DatingGrade, judge
from .arrangement_search import (
    DECISIVE_LOG10,
    PieceRow,
    RowJoint,
    RowSearch,
    Standing,
    chance_of_row,
    judge_row,
    search_rows,
)
from .assessment import (
    Assessment,
    Cost,
    assess,
    assess_again,
    beliefs_under,
    cost_of,
    supposed,
)
from .assessment_model import AssessmentModel, Supposition, build_model
from .case import Case, CaseClaim, CasePhase, CaseSource, Thing, ThingKind, Years
from .case_from_state import CaseReading, case_of
from .chronology import (
    ORIGIN,
    Bound,
    DateConflict,
    TimeClaim,
    bounds,
    cheapest_repair,
    minimal_conflict,
    row,
    why_bound,
)
from .disagreement import Disagreement, disagreements
from .edge_heights import EVEN_HEIGHTS, HeightHabit, Heights
from .edge_registration import (
    ALIGNED,
    ANYWHERE,
    EdgeJoint,
    EdgeRegistration,
    register_edges,
)
from .evidence import READS, Aspect, Evidence, Reading, weigh
from .examination import STANDARD_EXAMINATIONS, Touch
from .explanation import Explanation, explain
from .factor_graph import FactorGraph
from .first_use import (
    CounterExample,
    FirstUse,
    first_use_table,
    likelihood_by_phase,
    row_for,
)
from .fluorescence import Fluorescence, fluorescence
from .interval_relation import IntervalRelation, Span, compose, inverse, possible_relations
from .joining import (
    EdgePair,
    FacePair,
    Joining,
    Joinings,
    PossibleJoint,
    best_joinings,
    score_edges,
    score_faces,
)
from .junction_tree import Plan, Posterior, plan, solve
from .mark import (
    Edge,
    EdgeMark,
    Face,
    Handedness,
    Line,
    Mark,
    MarkedFace,
    edge_crossings,
    inside_outline,
    points_of,
)
from .mark_problem import validate_edge, validate_face
from .marks_from_state import MarkKind, ObjectMarks, marks_on
from .match_strength import match_ratio, true_edge_scores, true_face_scores
from .match_worth import MatchWorth, word_of_ratio, worth_of_edges, worth_of_faces
from .overlay import Fate, Overlay, OverlayLine, OverlayMark, describe_overlay, overlay
from .phase_dates import PhaseDates
from .picture_scale import PictureScale, picture_scale_of
from .placement import FACE_TO_FACE, SAME_SIDE, FaceJoint, Mirror, Placement, fit_placement
from .pose import ANY_POSE, UPRIGHT, Apart, Folding, JointRule, Piece, Pose, RowRules
from .premises import ONE_STORY, SOUNDNESS, SOUNDNESS_GRID, USUAL_RELIABILITY, Params
from .recorded_order import order_relations, things_of, time_claims
from .registration import (
    MarkPair,
    MatchOutcome,
    Registration,
    ScoredPlacement,
    read_right,
    register_faces,
    register_points,
)
from .sampling import SamplingCost, SamplingRules
from .sampling_answer import Supposed
from .sequence import Before, Contradiction, Order, OrderRelation, Same, Sequence, sequence
from .shared_prior import pull_together, scaled_to_margins
from .significance import Chance, ChanceRuns, MarkSpread, chance_of_edges, chance_of_faces
from .strength import (
    CAP,
    DEFAULT_SCALE,
    SCALES,
    StrengthBand,
    StrengthScale,
    likelihood_ratio,
    scale_named,
    shifted_ratio,
    stronger,
    weaker,
)
from .testimony import Heard, Voice, hear, quadrature, voice_of
from .verdict import Verdict, band, spoken_of, verdicts

__all__ = [
    "ALIGNED",
    "ANYWHERE",
    "ANY_POSE",
    "CAP",
    "DECISIVE_LOG10",
    "DEFAULT_SCALE",
    "EVEN_HEIGHTS",
    "FACE_TO_FACE",
    "ONE_STORY",
    "ORIGIN",
    "READS",
    "SAME_SIDE",
    "SCALES",
    "SOUNDNESS",
    "SOUNDNESS_GRID",
    "STANDARD_EXAMINATIONS",
    "UPRIGHT",
    "USUAL_RELIABILITY",
    "Apart",
    "Aspect",
    "Assessment",
    "AssessmentModel",
    "Before",
    "Bound",
    "Case",
    "CaseClaim",
    "CasePhase",
    "CaseReading",
    "CaseSource",
    "Chance",
    "ChanceRuns",
    "Contradiction",
    "Cost",
    "CounterExample",
    "DateConflict",
    "DatingFinding",
    "DatingGrade",
    "Disagreement",
    "Edge",
    "EdgeJoint",
    "EdgeMark",
    "EdgePair",
    "EdgeRegistration",
    "Evidence",
    "Explanation",
    "Face",
    "FaceJoint",
    "FacePair",
    "FactorGraph",
    "Fate",
    "FirstUse",
    "Fluorescence",
    "Folding",
    "Grade",
    "Handedness",
    "Heard",
    "HeightHabit",
    "Heights",
    "IntervalRelation",
    "Joining",
    "Joinings",
    "JointRule",
    "Line",
    "Mark",
    "MarkKind",
    "MarkPair",
    "MarkSpread",
    "MarkedFace",
    "MatchOutcome",
    "MatchWorth",
    "Mirror",
    "ObjectMarks",
    "Order",
    "OrderRelation",
    "Overlay",
    "OverlayLine",
    "OverlayMark",
    "Params",
    "PhaseDates",
    "PictureScale",
    "Piece",
    "PieceRow",
    "Placement",
    "Plan",
    "Pose",
    "PossibleJoint",
    "Posterior",
    "Reading",
    "Registration",
    "RowJoint",
    "RowRules",
    "RowSearch",
    "Same",
    "SamplingCost",
    "SamplingRules",
    "ScoredPlacement",
    "Sequence",
    "Span",
    "Standing",
    "StrengthBand",
    "StrengthScale",
    "Supposed",
    "Supposition",
    "Thing",
    "ThingKind",
    "TimeClaim",
    "Touch",
    "Verdict",
    "VerdictWord",
    "Voice",
    "Years",
    "accounts",
    "assess",
    "assess_again",
    "band",
    "beliefs_under",
    "best_joinings",
    "bounds",
    "build_model",
    "case_of",
    "chance_of_edges",
    "chance_of_faces",
    "chance_of_row",
    "cheapest_repair",
    "compose",
    "cost_of",
    "describe_overlay",
    "disagreements",
    "edge_crossings",
    "explain",
    "first_use_table",
    "fit_placement",
    "fluorescence",
    "grade_of",
    "hear",
    "inside_outline",
    "inverse",
    "judge",
    "judge_row",
    "likelihood_by_phase",
    "likelihood_ratio",
    "marks_on",
    "match_ratio",
    "minimal_conflict",
    "order_relations",
    "overlay",
    "picture_scale_of",
    "plan",
    "points_of",
    "possible_relations",
    "pull_together",
    "quadrature",
    "read_right",
    "register_edges",
    "register_faces",
    "register_points",
    "row",
    "row_for",
    "scale_named",
    "scaled_to_margins",
    "score_edges",
    "score_faces",
    "search_rows",
    "sequence",
    "shifted_ratio",
    "solve",
    "spoken_of",
    "stronger",
    "supposed",
    "things_of",
    "time_claims",
    "true_edge_scores",
    "true_face_scores",
    "validate_edge",
    "validate_face",
    "verdicts",
    "voice_of",
    "weaker",
    "weigh",
    "why_bound",
    "word_of_ratio",
    "worth_of_edges",
    "worth_of_faces",
]
