"""The rows of a report: what it says of a phase, an element, a treatment, a sample.

None, and an empty text, mean that nothing is recorded; the paper prints it so. Dates are
in plain English.
"""

from .answer import Plain, Said, Thing
from .assessment import VerdictOf
from .whereabouts import Located


class Facts(Plain):
    """The object as its papers name it; nothing here is a verdict."""

    number: str
    name: str
    other_numbers: tuple[str, ...]
    made: str | None
    where: str | None
    owner: str | None
    held_by: str | None
    source: Thing | None
    note: str | None


class PhaseIn(Plain):
    """One phase with its dates."""

    short: str
    name: str
    span: str
    begins: str | None
    ends: str | None
    source: Thing | None


class ElementIn(Plain):
    """One element with its verdict.

    Attributes:
        verdict: None where it can bear none, e.g. an absence.
        observations: strongest claims about it; which of them carry the verdict is what
            `vestige why` tells.
    """

    thing: Thing
    name: str
    sort: str
    material: str | None
    where: str | None
    status: str | None
    judgement: str | None
    looked_for_by: str | None
    verdict: VerdictOf | None
    observations: tuple[Said, ...]


class UsedIn(Plain):
    """A material or batch that was used."""

    thing: Thing
    material: str | None = None
    material_class: str | None = None
    trade_name: str | None = None
    mixed_as: str | None = None


class HappeningIn(Plain):
    """Something that happened to the object, with what was used."""

    thing: Thing
    sort: str
    when: str | None
    by: str | None
    phase: str | None
    elements: tuple[Thing, ...]
    used: tuple[UsedIn, ...]
    technique: str | None
    why: str | None
    source: Thing | None
    note: str | None


class TakenIn(Plain):
    """Something that is off the object.

    Attributes:
        recorded: False where only the element's status says so and no record tells what
            was taken, when and where it went.
    """

    located: Located
    how_many: int | None = None
    removed_when: str | None = None
    removed_by: str | None = None
    reason: str | None = None
    consent: str | None = None
    original_position: str | None = None
    review: str | None = None
    note: str | None = None
    recorded: bool


class SampleIn(Plain):
    """One sample or preparation, and what became of it."""

    located: Located
    name: str | None
    drawn_from: Thing
    spot: str | None
    question: str | None
    permission: str | None
    taken_when: str | None
    taken_by: str | None
    state: str | None
    left: str | None


class ResultIn(Plain):
    """What one analysis found, also where it found nothing."""

    number: str
    of: Thing
    method: str
    found: str
    by: str | None
    when: str | None
    used_up: bool | None
    source: Thing | None


class DecisionIn(Plain):
    """What a person decided, and why."""

    number: str
    about: tuple[Thing, ...]
    choice: str
    reason: str
    consulted: tuple[str, ...]
    by: str
    when: str
    assessment_said: str | None


class QuestionIn(Plain):
    """Something nobody knows yet."""

    number: str
    about: tuple[Thing, ...]
    asked: str
    would_settle: str | None


class Contradiction(Plain):
    """Claims that do not agree; all of them are kept and nothing is resolved."""

    text: str
    claims: tuple[Said, ...]


class SourceIn(Plain):
    """One source that the report rests on."""

    thing: Thing
    name: str
    sort: str
    dated: str | None
    by: str | None
    hand: str | None
    copies: tuple[Thing, ...]
    kept_at: str | None
    access: str | None
