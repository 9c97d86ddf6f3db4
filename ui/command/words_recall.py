"""The recall in words for a terminal."""

from typing import TYPE_CHECKING

from .words import NONE, cautions, place, seen, view

if TYPE_CHECKING:
    from vestige.graph.answer.recall import Recall, Touched


def recall(answer: "Recall") -> str:
    """Words of `recall`: object by object, the nearest first."""
    asked = answer.named.label if answer.named else answer.asked
    lines = [f"recall of {asked}", *view(answer.as_known), *cautions(answer.cautions)]
    if answer.words:
        lines.append(f"looked for in words as: {', '.join(answer.words)}")
    if answer.begins or answer.ends:
        lines.append(f"touched from {answer.begins or '...'} to {answer.ends or '...'}; "
                     "what is undated is not left out")  # fmt: skip
    if answer.place:
        lines.append(f"lying in {answer.place.label}")
    count = len(answer.things)
    lines.append(f"{count} things recorded" if count else "nothing is recorded of it")
    home = None
    for one in answer.things:
        name = one.object.label if one.object else f"object {NONE}"
        if name != home:
            home = name
            lines += ["", home]
        lines += _touched(one)
    return "\n".join([*lines, "", answer.note])


def _touched(one: "Touched") -> list[str]:
    there = {True: "STILL THERE", False: "off the object", None: f"whether there: {NONE}"}
    away = f"; taken off or sampled {one.taken_away}" if one.taken_away else ""
    lines = [
        f"  {one.thing.label}  [{one.reach}]",
        f"    {there[one.still_there]}; {one.status}{away}",
    ]
    said: dict[str, list[str]] = {}
    for reason in one.reasons:
        how = reason.how + (f", {reason.when}" if reason.when else "")
        said.setdefault(how, []).append(reason.says.number)
    lines += [f"    because {how}  ({', '.join(says)})" for how, says in said.items()]
    if not one.located.gone and one.status not in ("discarded", "consumed"):
        lines.append(f"    place {place(one.located.place)}")
        if one.still_there is False:
            lines.append(f"    last seen {seen(one.located.last_seen)}")
    return lines
