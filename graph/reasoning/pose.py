"""Pieces of one object, how each may stand in a row, and what forbids a joint."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from ..errors import BadValue
from .edge_heights import EVEN_HEIGHTS, Heights
from .edge_registration import ALIGNED, EdgeJoint, as_stood
from .mark import Edge

__all__ = [
    "ANY_POSE",
    "UPRIGHT",
    "Apart",
    "Folding",
    "JointRule",
    "Piece",
    "Pose",
    "RowRules",
    "as_placed",
]

OTHER_SIDE: Final = {"front": "back", "back": "front"}


@dataclass(frozen=True, slots=True, order=True)
class Pose:
    """How a piece stands.

    Attributes:
        turned: back to front, turned about its upright axis.
        inverted: upside down, turned in its own plane.
    """

    turned: bool = False
    inverted: bool = False

    def __str__(self) -> str:
        front = "back forward" if self.turned else "front forward"
        return f"{front}, {'upside down' if self.inverted else 'upright'}"


UPRIGHT: Final = Pose()
ANY_POSE: Final = tuple(Pose(t, v) for v in (False, True) for t in (False, True))


@dataclass(frozen=True, slots=True)
class Piece:
    """A leaf, board or panel with its edges, as seen upright and from the front.

    Attributes:
        id: name of the piece.
        left: its left edge.
        right: its right edge.
    """

    id: str
    left: Edge
    right: Edge


# A rule gets the right-hand edge of one piece and the left-hand edge of the next, as they
# stand, and returns why they cannot be joined, or nothing.
JointRule = Callable[[Edge, Edge], str]


@dataclass(frozen=True, slots=True)
class Folding:
    """Hinges of these kinds join only cuts on one side: the leaves must fold.

    Attributes:
        kinds: kinds of mark that are cuts or ghosts of such hinges.
    """

    kinds: frozenset[str]

    def __call__(self, one: Edge, other: Edge) -> str:
        """Return why the two edges cannot be hinged, or nothing."""
        for kind in sorted(self.kinds):
            sides = [
                sorted({m.side for m in edge.marks if m.kind == kind and m.side})
                for edge in (one, other)
            ]
            if all(sides) and not set(sides[0]) & set(sides[1]):
                return (
                    f"{kind}: {one.id} is cut on the {sides[0][0]} and {other.id} on the"
                    f" {sides[1][0]}; so hinged they cannot fold."
                )
        return ""


@dataclass(frozen=True, slots=True)
class Apart:
    """Two pieces that never stood next to each other, for a reason known otherwise.

    Attributes:
        one: id of a piece.
        other: id of another.
        reason: why, in a sentence.
    """

    one: str
    other: str
    reason: str

    def __call__(self, one: Edge, other: Edge) -> str:
        """Return the reason where the edges belong to the two pieces, or nothing."""
        return self.reason if {one.piece, other.piece} == {self.one, self.other} else ""


@dataclass(frozen=True, slots=True)
class RowRules:
    """What a row of pieces allows.

    Attributes:
        joint: offset between neighbours, kinds that count, fewest common marks. Its
            flips and sides are set by the poses.
        poses: how a piece may stand; upright and front forward where the picture or the
            make tells, all four where nothing does.
        forbids: rules that make a joint impossible.
        heights: where such marks are expected anyway.
    """

    joint: EdgeJoint = ALIGNED
    poses: tuple[Pose, ...] = (UPRIGHT,)
    forbids: tuple[JointRule, ...] = ()
    heights: Heights = EVEN_HEIGHTS

    def __post_init__(self) -> None:
        if not self.poses:
            raise BadValue("A row needs at least one pose; name UPRIGHT or ANY_POSE.")


def as_placed(piece: Piece, pose: Pose, kinds: EdgeJoint) -> tuple[Edge, Edge]:
    """Return the left-hand and the right-hand edge of *piece* as it stands in *pose*.

    Turned or upside down, left and right change places; both together they do not.
    Heights are measured from the end that is then below, sides (front, back) are those
    of the row; marks of kinds that do not count are left out.
    """
    edges = [piece.left, piece.right]
    if pose.turned != pose.inverted:
        edges.reverse()
    stood = [_placed(as_stood(edge, pose.inverted), pose.turned, kinds) for edge in edges]
    return stood[0], stood[1]


def _placed(edge: Edge, turned: bool, kinds: EdgeJoint) -> Edge:
    marks = tuple(
        replace(m, side=OTHER_SIDE.get(m.side, m.side) if turned else m.side)
        for m in edge.marks
        if kinds.counts(m)
    )
    return replace(edge, marks=marks)
