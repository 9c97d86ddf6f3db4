"""From the fields of a form to a claim: read, checked, previewed, recorded once.

Knows nothing of pages. A form is a mapping of field names to texts, as drafts keep it.
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pydantic import ValidationError

from vestige.graph.errors import BadValue, NotRecorded
from vestige.graph.intake import problems_of
from vestige.graph.ledger import State as Statement
from vestige.graph.record import (
    STANDS_ALONE,
    TAKES_DATE,
    TAKES_PHASE,
    TAKES_TEXT,
    Claim,
    Edtf,
    EvidenceKind,
    Picture,
    Relation,
    Source,
    SourceKind,
    Strength,
    guide_for,
    usual_strength,
)

from . import recording, words, words_refusal
from .desk import Desk

if TYPE_CHECKING:
    from vestige.graph.answer.answer import Said
    from vestige.graph.answer.verdict_move import VerdictMove
    from vestige.graph.problem import Problem
    from vestige.graph.state import State

Form = Mapping[str, str]
WORDED = ("spot", "rival", "note", "by", "method")
"""Fields whose text goes into the claim as it is."""
NAMED = {"other": "other", "source": "source", "derived": "derived_from", "phase": "phase"}
"""Fields that name another record by its number, and the claim's own name for each."""
FIRST_NUMBER = "OB-"


@dataclass(frozen=True, slots=True)
class Asked:
    """What a relation word asks for besides the thing that it is said of."""

    other: bool
    date: bool
    phase: bool
    text: bool


def asked_by(relation: Relation) -> Asked:
    """What a relation word asks for."""
    free = TAKES_DATE | TAKES_PHASE | TAKES_TEXT | STANDS_ALONE
    return Asked(
        other=relation not in free,
        date=relation in TAKES_DATE,
        phase=relation in TAKES_PHASE or relation is Relation.ARRANGED,
        text=relation in TAKES_TEXT,
    )


def relations_by_use(state: "State") -> list[str]:
    """Relation words, those said most often about the object first: fewer to scroll by."""
    said = Counter(str(claim.relation) for _, claim in state.all_of(Claim))
    return sorted(map(str, Relation), key=lambda one: -said[one])


def source_kind(state: "State", number: str) -> SourceKind | None:
    """What kind of source is meant by a number; None where none is."""
    key = state.named(number) if number else None
    record = state.held(key).record if key else None
    return record.sort if isinstance(record, Source) else None


def guide(state: "State", form: Form) -> tuple[EvidenceKind, ...]:
    """What the trade knows of the kind of evidence that a form holds so far."""
    if not form.get("relation"):
        return ()
    return guide_for(Relation(form["relation"]), source_kind(state, form.get("source", "")))


def usual(state: "State", form: Form) -> Strength:
    """The strength word that is usual for the kind of evidence in a form."""
    source = source_kind(state, form.get("source", ""))
    return usual_strength(Relation(form["relation"]), source)


def claim_of(state: "State", home: str, form: Form, number: str) -> Claim:
    """The claim that a form says.

    Raises:
        BadValue: naming what lacks or cannot be read.
    """
    if not form.get("relation"):
        raise BadValue(words_refusal.SAY_WHAT.format(field=words.F_RELATION))
    relation = Relation(form["relation"])
    asks = asked_by(relation)
    old = _corrected(state, form)
    values: dict[str, object] = dict(old.body()) if old else {}
    for name in (*WORDED, *NAMED.values(), "value", "when", "act"):
        values.pop(name, None)
    values |= {
        "number": number,
        "about": _key(state, form.get("element", "")) or home,
        "relation": relation,
        "strength": form.get("strength") or usual(state, form),
        "stance": form.get("stance") or "for",
    }
    values |= {name: form[name] for name in WORDED if form.get(name)}
    if form.get("when"):
        values["when"] = form["when"]
    for field, name in NAMED.items():
        wanted = {"other": asks.other, "phase": asks.phase}.get(field, True)
        if wanted and form.get(field):
            values[name] = _key(state, form[field])
    text = form.get("date" if asks.date else "value", "")
    if text and (asks.date or asks.text):
        values["value"] = text
    return _validated(values | _act(state, values, old))


def _act(state: "State", values: Mapping[str, object], old: Claim | None) -> dict[str, str]:
    """A copy repeats the act of what it was derived from, so that it adds nothing."""
    origin = values.get("derived_from")
    if isinstance(origin, str) and origin in state:
        record = state.held(origin).record
        if isinstance(record, Claim) and record.act:
            return {"act": record.act}
    return {"act": old.act} if old and old.act else {}


def _validated(values: Mapping[str, object]) -> Claim:
    try:
        return Claim.model_validate(values)
    except ValidationError as wrong:
        first = wrong.errors()[0]
        told = str(first["msg"]).removeprefix("Value error, ")
        where = ".".join(str(one) for one in first["loc"])
        raise BadValue(f"{where}: {told}" if where else told) from None


def _corrected(state: "State", form: Form) -> Claim | None:
    key = form.get("key", "")
    return state.record(key, Claim) if form.get("replaces") and key in state else None


def _key(state: "State", number: str) -> str | None:
    if not number:
        return None
    key = state.named(number)
    if key is None:
        raise BadValue(words_refusal.NOT_ANY_MORE.format(number=number))
    return key


def free_number(desk: Desk) -> str:
    """A number for an observation that nothing bears yet."""
    nth = desk.collection.store.tally().get("claim", 0) + 1
    while desk.collection.store.named(f"{FIRST_NUMBER}{nth}"):
        nth += 1
    return f"{FIRST_NUMBER}{nth}"


def preview(state: "State", claim: Claim, key: str) -> "Said":
    """The claim as answers will quote it."""
    from vestige.graph.answer.answer import said
    from vestige.graph.state import Held, State

    held = [state.held(one) for one in state if one != key]
    return said(State([*held, Held(key, claim)], state.known), key)


def problems(desk: Desk, claim: Claim, key: str) -> "tuple[Problem, ...]":
    """Everything that is wrong or doubtful with a claim."""
    return problems_of({key: claim}, desk.collection.store)


def picture_of(desk: Desk, claim: Claim, form: Form) -> Picture | None:
    """The photograph that belongs to a claim; None where a form has none."""
    if not form.get("photo"):
        return None
    nth = desk.collection.store.tally().get("picture", 0) + 1
    while desk.collection.store.named(f"PH-{nth}"):
        nth += 1
    return Picture(
        number=f"PH-{nth}",
        of=(claim.about,),
        name=form.get("shows") or None,
        file=form["photo"],
        taken=Edtf.parse(form["taken"]) if form.get("taken") else None,
        by=form.get("by") or None,
        checksum=form.get("checksum") or None,
    )


def record(desk: Desk, by: str, claim: Claim, form: Form) -> "tuple[VerdictMove, ...]":
    """Record a claim, once however often it is asked; the verdicts that it moved.

    Raises:
        Conflict: where the claim that is corrected was corrected by somebody else.
        Refused: where the archive's rules do not allow it.
    """
    from vestige.graph.answer.verdict_move import moves, view_of

    key = form["key"]
    before, _ = desk.about(claim.about)
    home = desk.collection.home_of(claim.about)
    seen = int(form["replaces"]) if form.get("replaces") else None
    acts = []
    picture = picture_of(desk, claim, form)
    if picture is not None:
        shown = form["photo key"]
        acts.append(Statement(Picture.kind, shown, picture.body()))
        claim = claim.model_copy(update={"picture": (*claim.picture, shown)})
    acts.append(Statement(Claim.kind, key, claim.body(), seen, form.get("reason", "")))
    batch = f"page-{key}-{seen or 0}-{recording.mark_of(acts)}"
    recording.record(desk, by, acts, batch=batch, origin={"page": "observation"})
    now, _ = desk.about(claim.about)
    try:
        then = view_of(before, home)
        return tuple(moves(then, view_of(now, home, near=then)))
    except (BadValue, NotRecorded):  # on no object, or one that cannot be assessed
        return ()


def form_of(state: "State", key: str) -> dict[str, str]:
    """A recorded claim as a form, so that it can be corrected."""
    claim = state.record(key, Claim)
    relation = Relation(claim.relation)
    asks = asked_by(relation)
    value = claim.value or ""
    named = {
        field: state.number(found)
        for field, name in NAMED.items()
        if (found := getattr(claim, name)) and found in state
    }
    plain = {name: getattr(claim, name) or "" for name in WORDED}
    return {
        **plain,
        **named,
        "key": key,
        "replaces": str(state.held(key).seq),
        "correcting": claim.number,
        "number": claim.number,
        "element": state.number(claim.about),
        "relation": str(claim.relation),
        "date": value if asks.date else "",
        "value": "" if asks.date else value,
        "strength": str(claim.strength),
        "stance": str(claim.stance),
        "when": str(claim.when) if claim.when else "",
    }


def merged(desk: Desk, mine: Form, theirs: Form) -> dict[str, str]:
    """Their version of a corrected claim with only those fields of mine that I changed."""
    from vestige.graph.state import Held, State

    key, seq = mine["key"], int(mine["replaces"])
    state, _ = desk.about(key)
    [old] = [one for one in desk.collection.store.history(key) if one.seq == seq]
    others = [state.held(one) for one in state if one != key]
    then = Held(key, Claim.model_validate(old.body), seq)
    begun = form_of(State([*others, then], state.known), key)
    kept = {name: mine[name] for name in mine if name not in theirs}
    changed = {
        name: mine.get(name, "")
        for name in theirs
        if name != "replaces" and mine.get(name, "") != begun.get(name, "")
    }
    return {**theirs, **kept, **changed, "replaces": theirs["replaces"]}


def differences(mine: Form, theirs: Form) -> list[tuple[str, str, str]]:
    """Fields in which two forms differ: name, mine, theirs."""
    names = [name for name in (*mine, *theirs) if name not in ("key", "replaces", "reason")]
    return [
        (name, mine.get(name, ""), theirs.get(name, ""))
        for name in dict.fromkeys(names)
        if mine.get(name, "") != theirs.get(name, "") and name not in ("object", "by")
    ]
