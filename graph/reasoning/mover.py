"""Which claims moved a belief: what it would be without each of them.

A claim moved what is believed of a thing as far as leaving it out would change it. The
measure is the total variation between the two beliefs: the largest difference in the
probability of any statement about the thing, from 0 to 1.
"""

from collections.abc import Collection, Mapping

from .assessment import Assessment, beliefs_under
from .assessment_model import AS_GIVEN, Supposition

__all__ = ["movers"]

SLIGHT = 0.02
"""Shifts below this are not told: a tenth of the narrowest grade, possible."""


def movers(
    assessment: Assessment, groups: Mapping[str, Collection[str]], things: Collection[str]
) -> dict[str, tuple[tuple[str, float], ...]]:
    """For each thing, the groups of claims that move it and how far, the furthest first.

    Args:
        assessment: the assessment that the claims are part of.
        groups: name and ids of claims that stand or fall together; claims that are not
            weighed move nothing, and nothing is told of a sampled assessment, where every
            claim left out would cost as much again.
        things: ids of the things asked about.
    """
    counted = {claim.id for claim in assessment.model.heard.counted}
    names = [name for name, claims in groups.items() if counted & set(claims)]
    if not names or assessment.posterior is None:
        return dict.fromkeys(things, ())
    readings = [AS_GIVEN]
    readings += [Supposition(name, without=frozenset(groups[name])) for name in names]
    beliefs = beliefs_under(assessment.model, assessment.plan, readings)
    found: dict[str, tuple[tuple[str, float], ...]] = {}
    for thing in things:
        given = beliefs[thing][..., :1]
        shifts = abs(beliefs[thing][..., 1:] - given).sum(axis=(0, 1)) / 2
        told = [
            (name, float(shift))
            for name, shift in zip(names, shifts, strict=True)
            if shift >= SLIGHT
        ]
        found[thing] = tuple(sorted(told, key=lambda one: (-round(one[1], 9), one[0])))
    return found
