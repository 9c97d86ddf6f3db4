"""What does not agree in the record of one object, gathered from all who look for it."""

from collections.abc import Iterable, Iterator

from ..record import Claim, Relation, Stance
from ..state import State
from .answer import said
from .assessment import AssessmentOf
from .report_parts import Contradiction
from .sequence import SequenceAnswer


def contradictions(
    state: State,
    assessed: AssessmentOf,
    order: SequenceAnswer,
    claims: Iterable[tuple[str, Claim]],
) -> tuple[Contradiction, ...]:
    """Improbable claims, orders that run in a circle, accounts that differ.

    Args:
        state: the state that the claims are of.
        assessed: the assessment of the object, with its clashes.
        order: its order, with its loops.
        claims: keys and claims of the object.
    """
    clashes = [Contradiction(text=one.text, claims=one.claims) for one in assessed.clashes]
    loops = [
        Contradiction(
            text="these say in a circle that each is later than the next: "
            + ", ".join(step.later.label for step in loop.steps),
            claims=tuple(claim for step in loop.steps for claim in step.claims),
        )
        for loop in order.loops
    ]
    return (*clashes, *loops, *_told_differently(state, claims))


def _told_differently(
    state: State, claims: Iterable[tuple[str, Claim]]
) -> Iterator[Contradiction]:
    """Accounts of one arrangement, or of one count, in one phase, that differ."""
    told: dict[tuple[str, str, str], list[tuple[str, str]]] = {}
    for key, one in claims:
        whole = one.relation in (Relation.ARRANGED, Relation.COUNTED)
        closed = (one.value or "").startswith("restricted: ask")
        if whole and one.value and one.stance is Stance.FOR and not closed:
            place = (one.about, str(one.relation), one.phase or "")
            told.setdefault(place, []).append((" ".join(one.value.split()), key))
    for (about, relation, phase), accounts in told.items():
        values = {value.casefold(): value for value, _ in reversed(accounts)}
        if len(values) > 1:
            where = state.label(phase) if phase else "phase not recorded"
            yield Contradiction(
                text=f"{state.label(about)} ({where}): {len(values)} accounts of how it "
                f"was {relation}: {'; '.join(reversed(values.values()))}",
                claims=tuple(said(state, key) for _, key in accounts),
            )
