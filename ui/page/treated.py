"""From the forms of a treatment and of what was taken off to records; nothing of pages."""

import datetime
import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from vestige.graph.errors import BadValue
from vestige.graph.intake import join_list, problems_of, split_list
from vestige.graph.ledger import State as Statement
from vestige.graph.record import (
    Choice,
    Decision,
    Edtf,
    Element,
    Happening,
    HappeningSort,
    KeptPart,
    Material,
    Record,
    Sample,
)

from . import recording, words_refusal
from .desk import Desk
from .written import free_number, record_of, today

if TYPE_CHECKING:
    from vestige.graph.answer.answer import Warned
    from vestige.graph.problem import Problem
    from vestige.graph.state import State

Form = Mapping[str, str]
HAPPENING = tuple(name for name in Happening.model_fields if name != "object")
"""Fields of the form of a treatment that go into its record."""
PART = (
    "number", "element", "name", "how_many", "reason", "consent", "original_position",
    "container", "label_text", "review", "removed_when", "removed_by", "removed_in", "note",
)  # fmt: skip
SAMPLE = (
    "number", "element", "name", "question", "spot", "size", "amount", "permission",
    "container", "retention", "review", "taken_when", "taken_by", "taken_in", "note",
)  # fmt: skip
_SORT = {
    Choice.REMOVE: HappeningSort.REMOVAL,
    Choice.PUT_BACK: HappeningSort.PUTTING_BACK,
}
_WORDS = {
    "solvent": r"solvent|acetone|ethanol|methanol|isopropanol|propan-2-ol|toluene|xylene"
    r"|white spirit|petroleum|naphtha|benzine|cyclohexane|acetate|ligroin|turpentine",
    "pesticide": r"pesticid|biocid|fungicid|insecticid|fumig|arsenic|ddt|lindane|thymol"
    r"|ethylene oxide|methyl bromide|naphthalene|dichlorobenzene|mercuric chloride",
    "pigment": r"lead white|red lead|orpiment|realgar|emerald green|scheele|vermilion"
    r"|cinnabar|chrome yellow|cadmium|litharge|naples yellow",
    "acid or alkali": r"\bacid\b|ammonia|hydroxide|peroxide|hypochlorite|bleach"
    r"|bicarbonate",
}
"""English words that call for a usual caution; common practice, no source. That none of
them is written says nothing of a material."""


def begin(state: "State", decision: str, by: str) -> dict[str, str]:
    """What a treatment takes over from the decision that it carries out.

    Args:
        state: the state around the object.
        decision: number of the decision; "" for none.
        by: role that records.
    """
    form = {"sort": str(HappeningSort.TREATMENT), "when": today().isoformat(), "by": by}
    key = state.named(decision) if decision else None
    if key is None:
        return form
    one = state.record(key, Decision)
    about = [state.number(element) for element in elements_of(state, one)]
    sort = _SORT.get(one.choice, HappeningSort.TREATMENT)
    return form | {
        "carries_out": decision,
        "sort": str(sort),
        "why": one.reason,
        "elements": join_list(tuple(about)),
    }


def elements_of(state: "State", decision: Decision) -> list[str]:
    """Keys of the elements that a decision is about, also through parts of them."""
    found = []
    for about in decision.about:
        record = state.held(about).record if about in state else None
        element = record.element if isinstance(record, KeptPart) else about
        if element in state and isinstance(state.held(element).record, Element):
            found.append(element)
    return list(dict.fromkeys(found))


def happening_of(desk: Desk, home: str, form: Form) -> Happening:
    """The happening that a form says.

    Args:
        desk: whose reader may name records.
        home: number of the object.
        form: texts by field.

    Raises:
        BadValue: naming what lacks or cannot be read, or for a day that is to come.
    """
    taken = {name: form[name] for name in HAPPENING if form.get(name)}
    new = {one.name for one in new_materials(desk, form)}
    known = [one for one in split_list(taken.get("used", "")) if one not in new]
    taken["used"] = join_list(tuple(known))
    taken["object"] = home
    taken.setdefault("number", free_number(desk, Happening.kind, "T-"))
    made = record_of(desk, Happening, taken)
    _not_to_come(made.when)
    return made


def taken_of(desk: Desk, form: Form) -> KeptPart | Sample:
    """The part or the sample that a form says.

    Raises:
        BadValue: naming what lacks or cannot be read, or for a day that is to come.
    """
    if form.get("what") == Sample.kind:
        said = {**form, "taken_in": form.get("happening", "")}
        said |= {"taken_when": form.get("when", ""), "taken_by": form.get("by", "")}
        sample = record_of(desk, Sample, {name: said.get(name, "") for name in SAMPLE})
        _not_to_come(sample.taken_when)
        return sample
    said = {**form, "removed_in": form.get("happening", "")}
    said |= {"removed_when": form.get("when", ""), "removed_by": form.get("by", "")}
    part = record_of(desk, KeptPart, {name: said.get(name, "") for name in PART})
    _not_to_come(part.removed_when)
    return part


def _not_to_come(when: Edtf | None) -> None:
    last = (today() - datetime.date(1970, 1, 1)).days
    if when is not None and when.earliest is not None and when.earliest > last:
        raise BadValue(words_refusal.NOT_YET.format(day=when))


def lacks_of(state: "State", part: Record) -> tuple[str, ...]:
    """What the record of a removal would lack; nothing for a sample."""
    from vestige.graph.keeping import lacking
    from vestige.graph.state import Held, State

    key = "0" * 26
    beside = State([*map(state.held, state), Held(key, part)], state.known)
    return lacking(beside, key, placed=False)


def problems(desk: Desk, key: str, record: Record) -> "tuple[Problem, ...]":
    """Everything that is wrong or doubtful with what is to be recorded."""
    return problems_of({key: record}, desk.collection.store)


def new_materials(desk: Desk, form: Form) -> list[Material]:
    """Materials that a form names and the archive's list does not have, numbered."""
    state, found = recording.lists(desk), []
    nth = desk.collection.store.tally().get(Material.kind, 0)
    for name in split_list(form.get("used", "")):
        if state.named(name) is not None:
            continue
        nth += 1
        while desk.collection.store.named(f"M-{nth}"):
            nth += 1
        found.append(Material(number=f"M-{nth}", name=name))
    return found


def record(desk: Desk, by: str, form: Form, made: Record) -> None:
    """Record a happening, part or sample, once however often it is asked.

    Materials that a treatment is the first to name are recorded with it.

    Raises:
        Refused: where the role is not held, or the archive's rules do not allow it.
    """
    key, acts = form["key"], []
    if isinstance(made, Happening):
        for one in new_materials(desk, form):
            new = desk.collection.keys.new()
            acts.append(Statement(one.kind, new, one.body()))
            made = made.model_copy(update={"used": (*made.used, new)})
    acts.append(Statement(made.kind, key, made.body()))
    recording.record(desk, by, acts, batch=f"page-{key}", origin={"page": made.kind})


def cautions(desk: Desk, state: "State", numbers: list[str]) -> "tuple[Warned, ...]":
    """Recorded cautions of the things and materials that a form names, each once."""
    from vestige.graph.answer.caution import in_order, warnings

    found: dict[str, Warned] = {}
    for number in numbers:
        there = state
        key = there.named(number)
        if key is None:
            there = recording.lists(desk)
            key = there.named(number)
        if key is not None:
            desk.saw([key])
            found |= {one.number: one for one in reversed(warnings(there, key))}
            found |= _of_material(desk, key)
    return in_order(found.values())


def _of_material(desk: Desk, key: str) -> "dict[str, Warned]":
    """A batch carries what is recorded of its material."""
    from vestige.graph.answer.caution import warnings
    from vestige.graph.record import Batch

    state = recording.lists(desk)
    one = state.held(key).record if key in state else None
    if not isinstance(one, Batch) or one.material not in state:
        return {}
    return {each.number: each for each in warnings(state, one.material)}


def usual(desk: Desk, form: Form) -> list[str]:
    """Names of the usual cautions that the materials and words of a form call for."""
    state = recording.lists(desk)
    texts = [form.get(name, "") for name in ("technique", "name", "note", "used")]
    for number in split_list(form.get("used", "")):
        key = state.named(number)
        if key is None:
            continue
        texts.append(state.held(key).record.words())
        body = state.held(key).record.body()
        material = body.get("material")
        if isinstance(material, str) and material in state:
            texts.append(state.held(material).record.words())
    said = " ".join(texts).casefold()
    return [name for name, words in _WORDS.items() if re.search(words, said)]
