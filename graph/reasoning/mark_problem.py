"""What is wrong or doubtful about the measures of marks, said before they are matched."""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from ..problem import Problem, Weight
from .mark import Edge, Floats, Mark, MarkedFace, inside_outline

# Ours, no source: above 100 m no face is taken (5,000 m is millimetres written as metres);
# between 10 and 100 m, or below 5 mm, somebody should look.
LARGEST_MM: Final = 100_000.0
LARGE_MM: Final = 10_000.0
SMALL_MM: Final = 5.0


def validate_face(marked: MarkedFace) -> tuple[Problem, ...]:
    """Return what is wrong or doubtful about the measures of a face and its marks.

    Errors: measures that are no positive numbers, a face larger than 100 m, a mark
    outside its face, two marks of one name. Queries: a face above 10 m or below 5 mm,
    marks crowded in a tenth of the face (both look like another unit), two marks of
    one kind at one point, a scatter wider than a tenth of the face.
    """
    face = marked.face
    extents = (("width", face.width_mm), ("height", face.height_mm))
    found = [p for what, mm in extents for p in _length(f"The {what} of {face.id}", mm)]
    if any(p.weight is Weight.ERROR for p in found):
        return tuple(found)
    points = marked.points
    for mark in points:
        found += _mark_values(mark, face.id)
    if not any(p.weight is Weight.ERROR for p in found):
        found += _outside(marked) + _crowded(marked)
        found += _wide_scatter(points, face.id, min(face.width_mm, face.height_mm))
    names = [m.id for m in marked.marks] + [line.id for line in marked.lines]
    found += _same_name(names, face.id)
    found += _same_point([(m.id, m.kind, m.x_mm, m.y_mm) for m in marked.marks], face.id)
    return tuple(found)


def validate_edge(edge: Edge) -> tuple[Problem, ...]:
    """Return what is wrong or doubtful about an edge, as `validate_face` does."""
    found = _length(f"The length of {edge.id}", edge.length_mm)
    if any(p.weight is Weight.ERROR for p in found):
        return tuple(found)
    for mark in edge.marks:
        values = Mark(mark.id, mark.kind, 0.0, mark.height_mm, mark.size_mm)
        found += _mark_values(values, edge.id, scatter_mm=mark.scatter_mm)
        over = max(-mark.height_mm, mark.height_mm - edge.length_mm)
        if over > mark.scatter_mm:
            found.append(_off(mark.id, edge.id, f"height {mark.height_mm:g} mm", over))
    found += _same_name([m.id for m in edge.marks], edge.id)
    same = [(m.id, f"{m.kind} {m.side}", 0.0, m.height_mm) for m in edge.marks]
    return tuple(found + _same_point(same, edge.id))


def _length(what: str, mm: float) -> list[Problem]:
    if not math.isfinite(mm) or mm <= 0:
        right = "Give a length above 0 in millimetres."
        return [Problem("no length", f"{what} is {mm:g} mm.", right)]
    if mm > LARGEST_MM:
        wrong = f"{what} is {mm:,.0f} mm, that is {mm / 1000:,.0f} m."
        right = "Give millimetres: nothing above 100 m is taken."
        return [Problem("wrong unit", wrong, right)]
    if mm > LARGE_MM or mm < SMALL_MM:
        wrong = f"{what} is {mm:g} mm; was it measured in another unit?"
        return [Problem("unit?", wrong, "Give millimetres.", weight=Weight.QUERY)]
    return []


def _mark_values(mark: Mark, where: str, scatter_mm: float | None = None) -> list[Problem]:
    scatter = mark.scatter_mm if scatter_mm is None else scatter_mm
    numbers = [mark.x_mm, mark.y_mm, mark.angle_deg or 0.0, mark.size_mm or 0.0, scatter]
    if not all(math.isfinite(n) for n in numbers):
        wrong = f"Mark {mark.id} on {where} has a value that is no number."
        return [Problem("no number", wrong, "Give figures, or leave the cell empty.")]
    found = []
    if mark.size_mm is not None and mark.size_mm <= 0:
        wrong = f"Mark {mark.id} on {where} has the size {mark.size_mm:g} mm."
        found.append(Problem("no size", wrong, "Give a size above 0, or leave it out."))
    if scatter <= 0:
        wrong = f"Mark {mark.id} on {where} has the scatter ±{scatter:g} mm."
        found.append(Problem("no scatter", wrong, "No measure is exact: give ±1 or so."))
    return found


def _off(mark: str, where: str, at: str, over: float) -> Problem:
    wrong = f"Mark {mark} at {at} lies {over:g} mm outside {where}."
    right = "Look at the unit, the origin and the scale of the picture."
    return Problem("outside", wrong, right)


def _outside(marked: MarkedFace) -> list[Problem]:
    face = marked.face
    if not marked.points:
        return []
    xy = np.array([[m.x_mm, m.y_mm] for m in marked.points])
    lies = inside_outline(xy, face.corners_mm)
    far = _distance_to_outline(xy, face.corners_mm)
    return [
        _off(m.id, face.id, f"({m.x_mm:g}, {m.y_mm:g}) mm", round(float(d), 1))
        for m, ok, d in zip(marked.points, lies, far, strict=True)
        if not ok and d > m.scatter_mm
    ]


def _distance_to_outline(points: Floats, corners: Floats) -> Floats:
    start, step = corners, np.roll(corners, -1, axis=0) - corners
    away = points[:, None, :] - start[None]
    length2 = np.maximum((step**2).sum(axis=1), 1e-12)
    along = np.clip((away * step).sum(axis=2) / length2, 0.0, 1.0)
    gaps: Floats = np.linalg.norm(away - along[..., None] * step, axis=2)
    nearest: Floats = gaps.min(axis=1)
    return nearest


def _crowded(marked: MarkedFace) -> list[Problem]:
    if len(marked.points) < 3:
        return []
    face = marked.face
    reach = max(max(abs(m.x_mm), abs(m.y_mm)) for m in marked.points)
    if reach * 10 > max(face.width_mm, face.height_mm):
        return []
    wrong = f"All marks on {face.id} lie within {reach:g} mm of its corner."
    right = "Were they measured in metres or centimetres? Give millimetres."
    return [Problem("unit?", wrong, right, weight=Weight.QUERY)]


def _wide_scatter(points: Sequence[Mark], where: str, extent: float) -> list[Problem]:
    return [
        Problem(
            "scatter?",
            f"Mark {m.id} on {where} has the scatter ±{m.scatter_mm:g} mm,"
            f" more than a tenth of the face.",
            "So vague a mark decides nothing; is the unit right?",
            weight=Weight.QUERY,
        )
        for m in points
        if m.scatter_mm > extent / 10
    ]


def _same_name(names: Sequence[str], where: str) -> list[Problem]:
    twice = sorted({n for n in names if names.count(n) > 1})
    return [
        Problem("same name", f"Two marks on {where} are called {n}.", "Rename one of them.")
        for n in twice
    ]


def _same_point(
    marks: Sequence[tuple[str, str, float, float]], where: str
) -> list[Problem]:
    seen: dict[tuple[str, float, float], str] = {}
    found = []
    for name, kind, x, y in marks:
        first = seen.setdefault((kind, round(x, 2), round(y, 2)), name)
        if first != name:
            wrong = f"Marks {first} and {name} on {where} are of one kind at one point."
            right = "Was one mark entered twice?"
            found.append(Problem("same point", wrong, right, weight=Weight.QUERY))
    return found
