"""Words of manifests, audit rounds and tasks for a terminal."""

from typing import TYPE_CHECKING

from .words import NONE, place, seen, table, view

if TYPE_CHECKING:
    from vestige.graph.answer.round import Reconciled, RoundOf, Tasks, ToDo

MOST_UNLOOKED = 20


def result(answer: "RoundOf") -> str:
    """What a list or round found, what is amiss first."""
    lines = [answer.number, *view(answer.as_known)]
    counts = ", ".join(f"{many} {word}" for word, many in answer.counts.items())
    lines.append(counts or "nothing is recorded under this number")
    if not answer.listed and answer.things:
        lines.append(
            "no list was recorded: what was not looked for is reckoned from the places "
            "looked in"
        )
    for word in sorted(answer.counts, key=lambda one: one == "confirmed"):
        found = [one for one in answer.things if one.outcome == word]
        if word == "not looked for":
            lines += ["", *_not_looked_for(found)]
        else:
            lines += ["", f"{word}:", *(_thing(one) for one in found)]
    return "\n".join([*lines, "", *_tasks(answer.tasks)])


def _thing(one: "Reconciled") -> str:
    where = f" in {one.found_in.number}" if one.found_in else ""
    said = [f"{one.when}{where} by {one.by or NONE}"]
    if one.outcome != "confirmed":
        said.append(f"thought to be in {place(one.thought)}")
    said.append(f"before that last seen {seen(one.seen_before)}")
    if one.not_seen_before:
        said.append(f"had not been seen {seen(one.not_seen_before)}")
    if one.settled:
        said.append(f"seen again since: {one.settled.label}")
    return f"  {one.thing.label}: {'; '.join(said)}"


def _not_looked_for(found: "list[Reconciled]") -> list[str]:
    lines = [f"not looked for ({len(found)}); nothing says of them that they are there:"]
    for one in found[:MOST_UNLOOKED]:
        listed = f"listed {one.listed}; " if one.listed else ""
        lines.append(f"  {one.thing.label}: {listed}last seen {seen(one.seen_before)}")
    more = len(found) - MOST_UNLOOKED
    return [*lines, f"  and {more} more; --json gives all"] if more > 0 else lines


def tasks(answer: "Tasks") -> str:
    """Everything that is to be done."""
    return "\n".join([*view(answer.as_known), *_tasks(answer.tasks)])


def _tasks(found: "tuple[ToDo, ...]") -> list[str]:
    if not found:
        return ["no open task"]
    rows = [
        (
            one.since or NONE,
            one.whom or NONE,
            one.under or "-",
            f"{one.thing.label}: {one.what}",
        )
        for one in found
    ]
    return [f"{len(found)} open tasks", *table(("since", "whom", "list", "task"), rows)]
