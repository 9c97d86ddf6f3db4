"""What a treatment did, used, took and left."""

from typing import ClassVar

from ..errors import NotRecorded
from ..keeping.treatment import (
    Taken,
    decisions_in,
    happenings_of,
    parts_removed,
    samples_taken,
)
from ..record import Batch, Element, Happening, Material
from ..state import State
from .answer import Answer, Plain, Thing, as_known, thing
from .caution import warnings
from .whereabouts import Located, located_of


class Concerned(Plain):
    """An element that it concerned, and where that stands now."""

    thing: Thing
    status: str | None


class Used(Plain):
    """A material or batch that it used."""

    thing: Thing
    material: Thing | None
    material_class: str | None
    mixed_as: str | None


class Removed(Plain):
    """A part removed in it, and where that is now."""

    located: Located
    how_many: int | None
    reason: str | None
    consent: str | None


class Belonging(Plain):
    """A sample or decision; `linked` is False where only its date falls within."""

    thing: Thing
    linked: bool


class TreatmentIn(Plain):
    """One happening with all that is recorded of it."""

    thing: Thing
    sort: str
    when: str | None
    by: str | None
    agent_class: str | None
    phase: Thing | None
    technique: str | None
    why: str | None
    source: Thing | None
    note: str | None
    concerned: tuple[Concerned, ...]
    used: tuple[Used, ...]
    removed: tuple[Removed, ...]
    samples: tuple[Belonging, ...]
    decisions: tuple[Belonging, ...]


class Treatments(Answer):
    """Answer to `vestige treatment ID`: one happening, or all of an object or element."""

    FORM: ClassVar[str] = "vestige.treatment/1"
    about: Thing
    treatments: tuple[TreatmentIn, ...]


def treatment_of(state: State, key: str) -> Treatments:
    """What a happening did, used, took and left.

    Raises:
        NotRecorded: where the thing is no happening, object or element.
    """
    kind = state.held(key).record.kind
    if kind not in ("happening", "object", "element"):
        raise NotRecorded(
            f"{state.label(key)} is of the kind {kind}: name a happening, an object or an "
            "element"
        )
    found = happenings_of(state, key)
    concerned = [one for event in found for one in state.record(event, Happening).elements]
    warned = [one for about in (key, *concerned) for one in warnings(state, about)]
    once = {one.number: one for one in reversed(warned)}
    return Treatments(
        form=Treatments.FORM,
        as_known=as_known(state),
        cautions=tuple(once[number] for number in sorted(once)),
        about=thing(state, key),
        treatments=tuple(_treatment(state, one) for one in found),
    )


def _treatment(state: State, key: str) -> TreatmentIn:
    one = state.record(key, Happening)
    return TreatmentIn(
        thing=thing(state, key),
        sort=str(one.sort),
        when=str(one.when) if one.when else None,
        by=one.by,
        agent_class=str(one.agent_class) if one.agent_class else None,
        phase=thing(state, one.phase) if one.phase else None,
        technique=one.technique,
        why=one.why,
        source=thing(state, one.source) if one.source else None,
        note=one.note,
        concerned=tuple(_concerned(state, element) for element in one.elements),
        used=tuple(_used(state, used) for used in one.used),
        removed=tuple(_removed(state, part) for part in parts_removed(state, key)),
        samples=_belonging(state, samples_taken(state, key)),
        decisions=_belonging(state, decisions_in(state, key)),
    )


def _concerned(state: State, key: str) -> Concerned:
    status = state.record(key, Element).status
    return Concerned(thing=thing(state, key), status=str(status) if status else None)


def _used(state: State, key: str) -> Used:
    one = state.held(key).record
    batch = one if isinstance(one, Batch) else None
    material = batch.material if batch else key
    plain = state.held(material).record if material in state else None
    return Used(
        thing=thing(state, key),
        material=thing(state, material),
        material_class=plain.material_class if isinstance(plain, Material) else None,
        mixed_as=batch.mixed_as if batch else None,
    )


def _removed(state: State, key: str) -> Removed:
    one = state.held(key).record
    return Removed(
        located=located_of(state, key),
        how_many=getattr(one, "how_many", None),
        reason=getattr(one, "reason", None),
        consent=getattr(one, "consent", None),
    )


def _belonging(state: State, found: tuple[Taken, ...]) -> tuple[Belonging, ...]:
    return tuple(Belonging(thing=thing(state, one.key), linked=one.linked) for one in found)
