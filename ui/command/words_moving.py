"""Words of acts and lives for a terminal."""

from typing import TYPE_CHECKING

from .words import cautions, place

if TYPE_CHECKING:
    from vestige.graph.answer.acting import ActOf, Goes
    from vestige.graph.answer.life import LifeOf

MOST_SHOWN = 12


def act(answer: "ActOf", dry_run: bool) -> str:
    """What was recorded, or would be, or was refused; cautions first."""
    stopped = any(one.weight == "error" for one in answer.problems)
    lines = [f"{one.weight}: {_at(one.where)}{one.wrong} {one.right}"
             for one in answer.problems]  # fmt: skip
    if stopped:
        return "\n".join([*lines, f"refused, nothing was recorded: {answer.said}"])
    lines += [line for one in answer.things for line in _goes(one)][: MOST_SHOWN * 4]
    hidden = len(answer.things) - MOST_SHOWN
    if hidden > 0:
        lines.append(f"... and more; --json gives all {len(answer.things)} things")
    done = "would be recorded" if dry_run else "recorded"
    return "\n".join([*lines, f"{done}: {answer.said}"])


def _at(where: str) -> str:
    return f"{where}: " if where else ""


def _goes(one: "Goes") -> list[str]:
    along = f"; {len(one.inside)} things go along" if one.inside else ""
    lines = [f"{one.thing.label}  ({one.stage}; {_until_now(one)}{along})"]
    lines += ["  " + line for line in cautions(one.cautions)]
    lines += [f"  ! REQUIRES {need.requires} [{need.container.number}]"
              for need in one.requires]  # fmt: skip
    return lines


def _until_now(one: "Goes") -> str:
    return f"recorded in {place(one.place)}" if one.place else "place not recorded"


def life(answer: "LifeOf") -> str:
    """Where a thing stands, what lacks, how it came there."""
    since = f" since {answer.since}" if answer.since else ""
    lines = [
        answer.about.label,
        *cautions(answer.cautions),
        f"stage: {answer.stage}{since}",
    ]
    if answer.lacks:
        lines.append(f"work to do: {', '.join(answer.lacks)} not recorded")
    lines += [f"CONTRADICTION: {one}" for one in answer.contradictions]
    for turn in answer.turns:
        where = f" in {turn.where.number}" if turn.where else ""
        by = f" by {turn.by}" if turn.by else ""
        lines.append(f"  {turn.when or 'undated'}  {turn.what}{where}{by}  -> {turn.stage}")
    if answer.can_become:
        lines.append(f"from here it can become: {', '.join(answer.can_become)}")
    lines += [f"holds back its disposal: {one.thing.label} ({one.why})"
              for one in answer.depends]  # fmt: skip
    return "\n".join(lines)
