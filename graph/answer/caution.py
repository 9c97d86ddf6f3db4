"""May I touch, photograph, show this? Cautions with authority, basis and whom to ask."""

from typing import ClassVar

from ..keeping import cautions
from ..record import Caution, CautionSort
from ..state import State
from .answer import Answer, Thing, Warned, as_known, thing

GENERAL = (
    "No recorded caution does not mean that there is none. Vestige records; it does not "
    "say what may be touched or done. Follow local rules and ask a competent person."
)


class Cautions(Answer):
    """Answer to `vestige cautions ID`."""

    FORM: ClassVar[str] = "vestige.cautions/1"
    about: Thing
    general: str = GENERAL


def warnings(state: State, key: str, on: int | None = None) -> tuple[Warned, ...]:
    """The cautions that a thing carries, restrictions first, as answers carry them."""
    found = []
    for carried in cautions(state, key, on):
        one = state.record(carried.caution, Caution)
        found.append(
            Warned(
                number=one.number,
                sort=str(one.sort),
                what=one.what,
                known=str(one.known) if one.known else None,
                forbids=tuple(str(scope) for scope in one.forbids),
                basis=one.basis,
                authority=one.authority,
                ask=one.ask,
                review=str(one.review) if one.review else None,
                how=carried.how,
                via=thing(state, carried.via),
            )
        )
    return tuple(
        sorted(found, key=lambda one: (one.sort != CautionSort.RESTRICTION, one.number))
    )


def cautions_of(state: State, key: str) -> Cautions:
    """Everything to be minded before a thing is touched, pictured or shown."""
    return Cautions(
        form=Cautions.FORM,
        as_known=as_known(state),
        about=thing(state, key),
        cautions=warnings(state, key),
    )
