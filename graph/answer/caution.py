"""May I touch, photograph, show this? Cautions with authority, basis and whom to ask."""

from collections.abc import Iterable
from typing import ClassVar

from ..keeping import Carried, cautions
from ..record import Caution, CautionSort, Known
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
    return in_order(warned(state, carried) for carried in cautions(state, key, on))


def warned(state: State, carried: Carried) -> Warned:
    """One caution as answers carry it."""
    one = state.record(carried.caution, Caution)
    return Warned(
        number=one.number,
        sort=str(one.sort),
        what=one.what,
        known=_known(one, carried),
        forbids=tuple(str(scope) for scope in one.forbids),
        basis=one.basis,
        authority=one.authority,
        ask=one.ask,
        review=str(one.review) if one.review else None,
        how=carried.how,
        via=thing(state, carried.via),
    )


def _known(caution: Caution, carried: Carried) -> str | None:
    """How a hazard is known here: known of what a thing may belong to, suspected of it."""
    if caution.known is Known.KNOWN and carried.how.endswith("may belong to"):
        return str(Known.SUSPECTED)
    return str(caution.known) if caution.known else None


def in_order(found: Iterable[Warned]) -> tuple[Warned, ...]:
    """Cautions with the restrictions first, then by number."""
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
