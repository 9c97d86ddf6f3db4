"""Whose is this loose fragment? Candidate places in order, each fact with its reason."""

from collections.abc import Sequence
from typing import ClassVar, Final

from ..keeping import Candidate, match, parentage, standing
from ..record import Element, Fragment
from ..state import State
from .answer import Answer, Plain, Said, Thing, Warned, as_known, said, thing
from .caution import warnings

MOST: Final = 10
"""Candidates that are told; how many there are besides is told as a number."""

HOW_ORDERED: Final = (
    "Candidates stand in order of the points of their facts. Points are no probability; "
    "a fact that is not recorded counts nothing. Whose it is, a person says, by a claim."
)


class Compared(Plain):
    """One fact of the fragment beside one of the place.

    Attributes:
        of: what was compared.
        fit: "fits", "does not fit", "says nothing" or "to be asked".
        words: what was compared with what.
        points: what it adds to the order of candidates.
        decides: True where it alone rules the place out.
    """

    of: str
    fit: str
    words: str
    points: int
    decides: bool


class CandidatePlace(Plain):
    """One place that the fragment may have come from.

    Attributes:
        element: element at which something lacks.
        object: the object that this is on; None where not recorded.
        vacancy: what lacks there, e.g. "loss" or "hole, slot or socket".
        why: why it was looked at.
        told: how much speaks for it, in words.
        points: sum of the facts' points.
        rejected: the reasons that rule it out; empty where none does.
        claims: what was said of this place and this fragment, for and against.
        cautions: hazards and restrictions that the fragment has to be suspected of.
    """

    element: Thing
    object: Thing | None
    vacancy: str
    why: str
    told: str
    points: int
    facts: tuple[Compared, ...]
    rejected: tuple[str, ...]
    claims: tuple[Said, ...]
    cautions: tuple[Warned, ...]


class Described(Plain):
    """The fragment as it is recorded; None: not recorded."""

    name: str
    material: str | None
    size: str | None
    thickness: str | None
    weight: str | None
    curvature: str | None
    colour: str | None
    marks: str | None
    note: str | None


class FragmentMatch(Answer):
    """Answer to `vestige match-fragment ID`.

    Attributes:
        standing: where the search stands by what was said, e.g. "unassigned".
        question: what must be asked of the fragment's own record before its size can be
            used; None where nothing.
        conclusion: what the comparison amounts to, in words.
        candidates: the best first; at most ten.
        more: how many candidates there are besides.
        rejected: places ruled out, those that a claim names first; at most ten.
        more_rejected: how many there are besides.
        silent: how many vacant places were looked at where nothing recorded fits and
            nothing rules them out.
        within: object that alone was looked at; None for the whole archive.
        cut_short: words whose places were too many to look at all of them.
    """

    FORM: ClassVar[str] = "vestige.match-fragment/1"
    about: Thing
    described: Described
    standing: str
    question: str | None
    conclusion: str
    how_ordered: str = HOW_ORDERED
    candidates: tuple[CandidatePlace, ...]
    more: int
    rejected: tuple[CandidatePlace, ...]
    more_rejected: int
    silent: int
    within: Thing | None
    cut_short: tuple[str, ...]
    claims: tuple[Said, ...]


def match_of(
    state: State,
    key: str,
    elements: Sequence[str],
    within: str | None = None,
    cut_short: tuple[str, ...] = (),
) -> FragmentMatch:
    """Places that a fragment may have come from.

    Args:
        state: as `Collection.around_fragment` gives it.
        key: key of the fragment.
        elements: elements to look at, as it gives them.
        within: key of the object that alone was looked at; None for all.
        cut_short: as it gives them.

    Raises:
        NotRecorded: where the key is not that of a loose fragment.
    """
    mine = state.record(key, Fragment)
    found = match(state, key, elements)
    best = [_candidate(state, one) for one in found.candidates[:MOST]]
    ruled_out = [_candidate(state, one) for one in found.rejected[:MOST]]
    return FragmentMatch(
        form=FragmentMatch.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        described=_described(mine),
        standing=str(standing(state, key)),
        question=found.question,
        conclusion=_conclusion(found.candidates),
        candidates=tuple(best),
        more=len(found.candidates) - len(best),
        rejected=tuple(ruled_out),
        more_rejected=len(found.rejected) - len(ruled_out),
        silent=found.silent,
        within=thing(state, within) if within else None,
        cut_short=cut_short,
        claims=claims_on(state, key),
    )


def claims_on(state: State, key: str) -> tuple[Said, ...]:
    """What was said of the parent of a loose fragment, for and against."""
    return tuple(said(state, one.claim) for one in parentage(state, key))


def _candidate(state: State, one: Candidate) -> CandidatePlace:
    key = one.place.element
    home = state.record(key, Element).object
    return CandidatePlace(
        element=thing(state, key),
        object=thing(state, home) if home in state else None,
        vacancy=str(one.place.vacancy),
        why=one.place.why,
        told=_told(one),
        points=one.points,
        facts=tuple(
            Compared(
                of=fact.of,
                fit=str(fact.fit),
                words=fact.words,
                points=fact.points,
                decides=fact.hard,
            )
            for fact in one.facts
        ),
        rejected=one.rejected,
        claims=tuple(said(state, claim.claim) for claim in one.said),
        cautions=warnings(state, key),
    )


def _described(mine: Fragment) -> Described:
    return Described(
        name=mine.name,
        material=mine.material,
        size=str(mine.size) if mine.size else None,
        thickness=str(mine.thickness) if mine.thickness else None,
        weight=str(mine.weight) if mine.weight else None,
        curvature=str(mine.curvature) if mine.curvature else None,
        colour=mine.colour,
        marks=mine.marks,
        note=mine.note,
    )


def _told(one: Candidate) -> str:
    """How many facts fit; one alone says little, since many things are of one material."""
    if one.rejected:
        return "ruled out"
    if one.fitting == 0:
        return "only a claim names it; no recorded fact fits"
    if one.fitting == 1:
        return "one fact fits, which alone says little"
    against = any(fact.points < 0 for fact in one.facts)
    clash = ", and something does not fit" if against else ", none is against"
    return f"{one.fitting} facts fit{clash}"


def _conclusion(found: Sequence[Candidate]) -> str:
    strong = [one for one in found if one.fitting >= 2 and one.points >= 2]
    if not strong:
        return "nobody's yet: no place is recorded at which more than one fact fits"
    level = [one for one in strong if one.points == strong[0].points]
    if len(level) > 1:
        return f"{len(level)} places fit equally well; the record cannot tell them apart"
    return "possible, not joined: a trial beside the place would settle more"
