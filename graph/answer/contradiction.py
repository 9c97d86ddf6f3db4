"""What does not agree in the record of one object, as its report tells it."""

from ..state import State
from .assessment import AssessmentOf
from .conflict import every_conflict
from .report_parts import Contradiction
from .sequence import SequenceAnswer


def contradictions(
    state: State, assessed: AssessmentOf, order: SequenceAnswer
) -> tuple[Contradiction, ...]:
    """The contradictions that `vestige conflicts` finds, for the report.

    Args:
        state: the state that the object is in.
        assessed: the assessment of the object, with its clashes.
        order: its order, with its loops.
    """
    found = every_conflict(state, assessed.about.key, assessed, order)
    return tuple(Contradiction(text=one.text, claims=one.claims) for one in found)
