"""Marks on faces and edges: what is measured, what meets, in what order leaves stood."""

import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from .asking import Asking, question
from .entering import may_record

if TYPE_CHECKING:
    from vestige.graph.answer.mark_claim import Computed
    from vestige.graph.answer.matching import Looking
    from vestige.graph.state import State
    from vestige.ui.drawing import Drawing

F = TypeVar("F", bound=Callable[..., Any])
OUT = click.Path(path_type=Path, dir_okay=False)


def looking_options(command: F) -> F:
    """Adds what is tried: kinds, phase, runs, seed; and recording, and a picture."""
    options = [
        click.option("--kind", "kinds", multiple=True, metavar="KIND", help="Only these."),
        click.option("--phase", metavar="P", help="Only marks of this phase, e.g. P1."),
        click.option(
            "--runs",
            default=999,
            show_default=True,
            help="Runs of chance for edges; for faces a fifth.",
        ),
        click.option("--seed", default=0, show_default=True, help="Seed of all runs."),
        click.option("--record", is_flag=True, help="Record what follows as claims."),
        click.option("--by", metavar="ROLE", help="Role that records; with --record."),
        click.option("--out", type=OUT, metavar="FILE.svg", help="Write the picture."),
    ]
    for option in reversed(options):
        command = option(command)
    return command


@click.command()
@click.argument("number", metavar="OBJECT|ELEMENT")
@question
def marks(asking: Asking, number: str) -> None:
    """What marks are measured on it? Face by face, phase by phase."""
    from vestige.graph.answer.mark import marks_of

    from .words_mark import marks as mark_words

    key = asking.find(number)
    state, home = _home(asking, key)
    asking.tell(marks_of(state, home, key), mark_words)


@click.command()
@click.argument("numbers", metavar="FACE FACE | OBJECT --all", nargs=-1, required=True)
@click.option("--all", "every", is_flag=True, help="All pairs of faces and of edges.")
@click.option(
    "--mirror",
    type=click.Choice(["must", "never", "either"]),
    default="either",
    show_default=True,
    help="Whether one face lies on the other in mirror image.",
)
@click.option("--turn", "turns", multiple=True, type=float, help="Turns allowed, degrees.")
@click.option("--anywhere", is_flag=True, help="Edges need not have been level.")
@click.option("--flip", is_flag=True, help="The first edge may stand upside down.")
@click.option("--tried", type=int, help="Pairings looked at; left out: all of the object.")
@looking_options
@question
def match(asking: Asking, numbers: tuple[str, ...], every: bool, **said: Any) -> None:
    """Did these two faces or edges meet? By their marks, with what chance would do.

    Marks of different phases are judged apart. Each p is corrected for the pairings.
    """
    from .words_mark import match as match_words
    from .words_mark import matches as all_words

    _check_numbers(numbers, every)
    keys = [asking.find(number) for number in numbers]
    state, home = _home(asking, keys[0])
    looking = _looking(state, home, said)
    if every:
        from vestige.graph.answer.matching import matches_of

        _refuse_recording(said)
        asking.tell(matches_of(state, home, looking), all_words)
        return
    from vestige.graph.answer.matching import match_of

    if _home(asking, keys[1])[1] != home:
        raise click.UsageError("the two belong to different objects; marks are matched "
                               "within one object")  # fmt: skip
    answer = match_of(state, home, (keys[0], keys[1]), looking)
    asking.tell(answer, match_words)
    if said["out"]:
        from vestige.ui.drawing import draw_overlay
        from vestige.ui.drawing.mark_answers import match_data

        told = (match_data(answer, one) for one in answer.phases)
        _write([draw_overlay(one) for one in told if one], said["out"])
    if said["record"]:
        from vestige.graph.answer.mark_claim import claims_of_match

        by = _recorder(said)
        _record(asking, claims_of_match(state, answer, by), by, looking)


@click.command()
@click.argument("object_number", metavar="OBJECT")
@click.option("--from-marks", is_flag=True, help="The rows that the marks on edges allow.")
@click.option("--row", default="", metavar="A-C-B-D", help="Judge this row.")
@click.option("--any-pose", is_flag=True, help="Leaves may be turned or upside down.")
@looking_options
@question
def arrangements(
    asking: Asking, object_number: str, from_marks: bool, any_pose: bool, **said: Any
) -> None:
    """How did its parts stand at each stage? What is said, copies counted once.

    With --from-marks: the orders of leaves that their marks allow, phase by phase.
    """
    state, home, _ = asking.of_object(object_number)
    if not from_marks and not said["row"]:
        _refuse_recording(said)
        _said_arrangements(asking, state, home, said["out"])
        return
    from vestige.graph.answer.mark_row import rows_of

    from .words_mark import rows as row_words

    looking = _looking(state, home, said)
    answer = rows_of(state, home, looking, any_pose=any_pose, row=said["row"])
    asking.tell(answer, row_words)
    if said["out"]:
        from vestige.ui.drawing import draw_arrangements
        from vestige.ui.drawing.mark_answers import rows_data

        data = rows_data(answer)
        _write([draw_arrangements(data)] if data.states else [], said["out"])
    if said["record"]:
        from vestige.graph.answer.mark_claim import claims_of_rows

        by = _recorder(said)
        _record(asking, claims_of_rows(state, answer, by), by, looking)


def _said_arrangements(asking: Asking, state: "State", home: str, out: Path | None) -> None:
    from vestige.graph.answer.arrangement import arrangements_of

    from .words_mark import arrangements as words

    answer = arrangements_of(state, home)
    asking.tell(answer, words)
    if out:
        from vestige.ui.drawing import draw_arrangements
        from vestige.ui.drawing.mark_answers import states_data

        data = states_data(answer)
        _write([draw_arrangements(data)] if data else [], out)


def _check_numbers(numbers: Sequence[str], every: bool) -> None:
    if every and len(numbers) != 1:
        raise click.UsageError("--all takes one object")
    if not every and len(numbers) != 2:
        raise click.UsageError("name two faces or two edges, or one object with --all")


def _home(asking: Asking, key: str) -> "tuple[State, str]":
    """The state around the object that a face, an element or an object belongs to."""
    from vestige.graph.record import Face

    [asked] = asking.collection.store.get([key], asking.known)
    if asked.kind == Face.kind:
        key = str(asked.body["element"])
    state, home, _ = asking.of_object(key)
    return state, home


def _looking(state: "State", home: str, said: dict[str, Any]) -> "Looking":
    from vestige.graph.answer.matching import Looking
    from vestige.graph.reasoning import Mirror

    if said["runs"] < 1:
        raise click.UsageError("--runs must be 1 or more")
    if said["seed"] < 0:
        raise click.UsageError("--seed must be 0 or more")
    if said.get("tried") is not None and said["tried"] < 1:
        raise click.UsageError("--tried must be 1 or more")
    if not all(math.isfinite(turn) for turn in said.get("turns", ())):
        raise click.UsageError("--turn takes degrees, such as 90")
    if said["record"]:
        _recorder(said)
    return Looking(
        kinds=frozenset(said["kinds"]),
        phase=_phase(state, home, said["phase"]),
        mirror=Mirror(said.get("mirror", "either")),
        turns_deg=tuple(said.get("turns", ())),
        anywhere=said.get("anywhere", False),
        flips=said.get("flip", False),
        runs=said["runs"],
        seed=said["seed"],
        tried=said.get("tried"),
    )


def _phase(state: "State", home: str, name: str | None) -> str | None:
    """Key of the object's phase of that short name."""
    from vestige.graph.errors import NotRecorded
    from vestige.graph.record import Phase

    if name is None:
        return None
    phases = state.about(home, Phase)
    for key, phase in phases:
        if name.casefold() in (phase.short_name().casefold(), phase.number.casefold()):
            return key
    there = ", ".join(phase.short_name() for _, phase in phases) or "none"
    raise NotRecorded(f"the object has no phase '{name}'; it has: {there}")


def _recorder(said: dict[str, Any]) -> str:
    if not said["by"]:
        raise click.UsageError("--record needs --by ROLE")
    return str(said["by"])


def _refuse_recording(said: dict[str, Any]) -> None:
    if said["record"]:
        raise click.UsageError("--record goes with two faces, or with --from-marks")


def _write(drawings: "Sequence[Drawing]", out: Path) -> None:
    """Write one picture, or one for each phase beside each other's names."""
    if not drawings:
        click.echo("there is nothing to draw; no picture was written", err=True)
        return
    for number, drawing in enumerate(drawings, start=1):
        suffix = f"-{number}" if len(drawings) > 1 else ""
        path = out.with_name(f"{out.stem}{suffix}{out.suffix or '.svg'}")
        path.write_text(drawing.svg, encoding="utf-8")
        click.echo(f"{path} is written: {drawing.title}", err=True)


def _record(
    asking: Asking, computed: "Sequence[Computed]", by: str, looking: "Looking"
) -> None:
    """Record claims with their sources, all or nothing; the same again records nothing."""
    from vestige.graph.ledger import State as Statement

    collection = asking.collection
    may_record(collection.folder, by)
    acts: list[Statement] = []
    for one in computed:
        source_key, source_act = _stated(asking, one.source)
        claim = one.claim.model_copy(update={"source": source_key})
        _, claim_act = _stated(asking, claim)
        acts += [act for act in (source_act, claim_act) if act is not None]
    if not acts:
        click.echo("recorded already; nothing new", err=True)
        return
    origin = {"command": "match", "seed": looking.seed, "runs": looking.runs}
    collection.record(by, acts, origin=origin)
    told = ", ".join(f"{one.claim.number} ({one.claim.strength})" for one in computed)
    click.echo(f"recorded: {told}", err=True)


def _stated(asking: Asking, record: Any) -> Any:
    """Key of a record by its number, and the act that says it; None where it stands so."""
    from vestige.graph.ledger import State as Statement

    store = asking.collection.store
    found = [one for one in store.named(record.number) if one.kind == record.kind]
    if not found:
        key = asking.collection.keys.new()
        return key, Statement(record.kind, key, record.body())
    key = found[0].key
    [old] = store.get([key])
    if old.body == record.body():
        return key, None
    reason = "computed again from the marks as they are recorded now"
    return key, Statement(record.kind, key, record.body(), store.version(key), reason)


MARK_QUESTIONS = (marks, match, arrangements)
