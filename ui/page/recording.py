"""In which role something is recorded: asked again at each entry, not only where shown.

With accounts, only the roles that the account holds; without, whatever the person at this
machine says. A role that the archive does not know yet is recorded in its list of roles
together with the first entry made in it. Pages record through this module alone.
"""

import hashlib
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from vestige.graph.errors import Refused
from vestige.graph.ledger import Act, act_text
from vestige.graph.ledger import State as Statement
from vestige.graph.record import Record, Role

from . import words_recording
from .desk import Desk

if TYPE_CHECKING:
    from vestige.graph.problem import Problem
    from vestige.graph.state import State
    from vestige.graph.store import Receipt


def lists(desk: Desk) -> "State":
    """Roles, materials and batches that this reader may see, with their cautions."""
    read = desk.collection.lists
    return desk.once("lists", lambda: read(known=desk.known, reader=desk.reader))


def roles_of(desk: Desk) -> dict[str, str]:
    """Roles that may be chosen: short name, and how the archive calls it."""
    told = {one.number: one.label() for _, one in lists(desk).all_of(Role)}
    if desk.holds is None:
        return told
    return {one: told.get(one, one) for one in desk.holds}


def is_new(desk: Desk, by: str) -> bool:
    """Whether the archive's list of roles does not have this role yet."""
    return bool(by) and by.casefold() not in _known(desk)


def role_in(desk: Desk, by: str) -> str:
    """The role under which an entry is recorded, as the archive writes it.

    Raises:
        Refused: where none is said, or the account that looks does not hold it.
    """
    by = by.strip()
    if not by:
        raise Refused(words_recording.SAY_ROLE)
    if desk.holds is None:
        return _known(desk).get(by.casefold(), by)
    if not desk.holds:
        raise Refused(words_recording.READS_ONLY.format(name=desk.who))
    for one in desk.holds:
        if one.casefold() == by.casefold():
            return one
    raise Refused(
        words_recording.NOT_HELD.format(name=desk.who, role=by, roles=", ".join(desk.holds))
    )


def record(
    desk: Desk,
    by: str,
    acts: Sequence[Act],
    *,
    batch: str | None = None,
    origin: Mapping[str, object] | None = None,
) -> "Receipt":
    """Record acts in a role, all or nothing; a repeated *batch* records nothing again.

    Raises:
        Refused: where the role is not held, or the archive's rules do not allow it.
        Conflict: where something that is corrected is another version by now.
    """
    role = role_in(desk, by)
    said = [*_first_of(desk, role, acts), *acts]
    return desk.collection.record(role, said, batch=batch, origin=origin)


def act(
    desk: Desk, by: str, records: Sequence[Record], *, dry_run: bool = False
) -> "tuple[tuple[Problem, ...], Receipt | None]":
    """Record new records as one act, as `Collection.act` does, in a role that is held.

    Raises:
        Refused: where the role is not held, or the archive's rules do not allow it.
    """
    role = role_in(desk, by)
    first = [Role.model_validate(one.body) for one in _first_of(desk, role, ())]
    return desk.collection.act(role, [*first, *records], dry_run=dry_run)


def mark_of(acts: Sequence[Act]) -> str:
    """A mark of what is recorded: two people's corrections of one version have two.

    Without it the ledger would take the second for a repeat of the first, and drop it.
    """
    said = repr([act_text(one) for one in acts])
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def _known(desk: Desk) -> dict[str, str]:
    return {one.number.casefold(): one.number for _, one in lists(desk).all_of(Role)}


def _first_of(desk: Desk, role: str, acts: Sequence[Act]) -> list[Statement]:
    """The record of a role that is used for the first time; none where it is there."""
    own = any(
        isinstance(one, Statement)
        and one.kind == Role.kind
        and str(one.body.get("number", "")).casefold() == role.casefold()
        for one in acts
    )
    if own or not is_new(desk, role):
        return []
    made = Role(number=role, name=role)
    return [Statement(Role.kind, desk.collection.keys.new(), made.body())]
