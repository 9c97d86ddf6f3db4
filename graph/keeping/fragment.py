"""What has been said of a loose fragment: whose it may be, and what was ruled out.

Only claims speak here; nothing is computed from sizes. "Nobody's yet" is a lawful answer.
"""

from dataclasses import dataclass
from enum import StrEnum

from ..record import Claim, Fragment, Relation, Stance
from ..state import State

PARENTAGE = (Relation.MAY_BELONG_TO, Relation.PART_OF)
"""Relations that say whose a fragment is: perhaps, and as settled."""


class Standing(StrEnum):
    """Where the search for the parent of a fragment stands, by what was said."""

    SETTLED = "assigned to an element"
    CANDIDATE = "with a candidate parent"
    DISPUTED = "disputed, claimed for and against"
    REJECTED = "tested and rejected"
    UNASSIGNED = "unassigned"


@dataclass(frozen=True, slots=True)
class Parentage:
    """One claim about the parent of a fragment.

    Attributes:
        claim: key of the claim.
        element: key of the element that it names.
        against: True where it says that the fragment is not of that element.
        settled: True where it says "part of", not "may belong to".
    """

    claim: str
    element: str
    against: bool
    settled: bool


def parentage(state: State, fragment: str) -> tuple[Parentage, ...]:
    """Every standing claim about the parent of a fragment, in the order said."""
    return tuple(
        Parentage(
            key, one.other, one.stance is Stance.AGAINST, one.relation is Relation.PART_OF
        )
        for key, one in state.about(fragment, Claim, "about")
        if one.relation in PARENTAGE and one.other is not None
    )


def standing(state: State, fragment: str) -> Standing:
    """Where the search for the parent of a fragment stands."""
    said = parentage(state, fragment)
    named = {one.element for one in said if not one.against}
    denied = {one.element for one in said if one.against}
    if named & denied:
        return Standing.DISPUTED
    if any(one.settled and not one.against for one in said):
        return Standing.SETTLED
    if named:
        return Standing.CANDIDATE
    return Standing.REJECTED if denied else Standing.UNASSIGNED


def suspects(state: State, thing: str) -> tuple[Parentage, ...]:
    """Claims by which a loose fragment may belong to something; empty for other things.

    A claim against another claim does not lift the suspicion: who handles the fragment
    must know of it until the claim itself is withdrawn.
    """
    if thing not in state or not isinstance(state.held(thing).record, Fragment):
        return ()
    return tuple(
        one for one in parentage(state, thing) if not one.against and one.element in state
    )
