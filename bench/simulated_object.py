"""Simulated objects with a known history, and what imperfect sources say of them.

Nothing here is a real object or a measured frequency. The simulator makes parts with
fixings and layers, lets a re-assembly move several parts at once, and has sources of
several kinds speak: an examination, a photograph, dealers' and museum papers. A regime
says how far the sources and the phases depart from what the assessment takes for granted.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from vestige.graph.reasoning import (
    SOUNDNESS,
    SOUNDNESS_GRID,
    USUAL_RELIABILITY,
    Case,
    CaseClaim,
    CasePhase,
    CaseSource,
    Thing,
    ThingKind,
    likelihood_ratio,
)
from vestige.graph.record import Relation, SourceKind, Span

OLDER = -1
EDGES = (1750.0, 1800.0, 1870.0, 1930.0, 2015.0, 2026.0)
SPANS = (Span.MAKING, Span.USE, Span.TRADE, Span.MUSEUM, Span.TREATMENT)
TREATMENT = 4
WORDS, WORD_SHARE = ("weak", "moderate", "strong"), (0.4, 0.4, 0.2)
PAPERS = {
    "bill": SourceKind.DEALER,
    "catalogue": SourceKind.CATALOGUE,
    "tradition": SourceKind.TRADITION,
}


@dataclass(frozen=True)
class Regime:
    """How a simulated world departs from the premises.

    Attributes:
        name, note: for the report.
        cohesion: P(a part came with the part that it sits on).
        reassembly: P(the object was put together anew once).
        bad: share of sources whose reports never depend on the truth; None to draw every
            source's soundness from the prior of its kind.
        story: whether a bad source tells one story instead of speaking at random.
        bad_examination: whether the examination may be bad as well.
        claims: phase claims per thing.
        copies: mean number of papers that copy each paper.
        declared: whether those copies are recorded as copies.
        phases: "as they were", "misdated", "merged" or "one too many".
    """

    name: str
    note: str
    cohesion: float = 0.65
    reassembly: float = 0.3
    bad: float | None = None
    story: bool = False
    bad_examination: bool = False
    claims: float = 1.6
    copies: float = 0.0
    declared: bool = True
    phases: str = "as they were"


REGIMES = (
    Regime("R1", "soundness as the kind of source says"),
    Regime("R2", "35 % of papers bad, at random", bad=0.35),
    Regime("R3", "35 % of papers each tell one false story", bad=0.35, story=True),
    Regime("R4", "every paper copied once on average, copies recorded", copies=1.0),
    Regime("R5", "4 phase claims a thing", claims=4.0),
    Regime("N1", "no cohesion of what touches", cohesion=0.2),
    Regime("N2", "phases misdated by some twenty years", phases="misdated"),
    Regime("N3", "two phases recorded as one", phases="merged"),
    Regime("N4", "one phase recorded that never was", phases="one too many"),
    Regime("N5", "copies not recorded as copies", copies=1.0, declared=False),
    Regime("N6", "R3, and the examination too", bad=0.35, story=True, bad_examination=True),
)


@dataclass
class World:
    """One object as it truly is, and the record of it as it grows.

    Attributes:
        made, placed: true phases; OLDER for what is older than the object. What has one
            time only has it in both.
        year: when each thing came to its place.
        origin: when it was made.
        sits_on: the thing that each thing sits on.
    """

    made: dict[str, int] = field(default_factory=dict)
    placed: dict[str, int] = field(default_factory=dict)
    year: dict[str, float] = field(default_factory=dict)
    origin: dict[str, float] = field(default_factory=dict)
    sits_on: dict[str, str] = field(default_factory=dict)
    things: list[Thing] = field(default_factory=list)
    sources: list[CaseSource] = field(default_factory=list)
    claims: list[CaseClaim] = field(default_factory=list)


def simulate(regime: Regime, seed: int) -> tuple[Case, World]:
    """One object of a regime: the case as recorded, and the truth in recorded phases."""
    random = np.random.default_rng(seed)
    world = World()
    _make(world, regime, random)
    _examine(world, regime, random)
    _papers(world, regime, random)
    _copies(world, regime, random)
    return _recorded(world, regime, random)


# ------------------------------------------------------------------ what happened


def _make(world: World, regime: Regime, random: np.random.Generator) -> None:
    event = int(random.integers(1, TREATMENT)) if random.random() < regime.reassembly else 0
    names = [f"part {number}" for number in range(int(random.integers(6, 11)))]
    for number, name in enumerate(names):
        if number == 0:
            _add(world, name, 0, 0, random)
            world.things.append(Thing(name, ThingKind.PART, core=True))
            continue
        below = names[int(random.integers(number))]
        made, placed = _times(world, below, regime, random)
        if event > 0 and placed < event and random.random() < 0.5:
            placed = event
        _add(world, name, made, placed, random)
        world.sits_on[name] = below
        held = _fix(world, name, random) if random.random() < 0.6 else ()
        world.things.append(Thing(name, ThingKind.PART, held_by=held, touches=(below,)))
    for number in range(int(random.integers(4, 8))):
        _coat(world, f"layer {number}", regime, random)


def _times(
    world: World, below: str, regime: Regime, random: np.random.Generator
) -> tuple[int, int]:
    """When a part was made and placed, before any re-assembly."""
    placed = world.placed[below]
    if random.random() > regime.cohesion and placed < TREATMENT - 1:
        placed = int(random.integers(placed + 1, TREATMENT))
    if placed and random.random() < 0.1:
        return int(random.integers(OLDER, placed)), placed
    return (OLDER if random.random() < 0.02 else placed), placed


def _add(
    world: World, name: str, made: int, placed: int, random: np.random.Generator
) -> None:
    world.made[name], world.placed[name] = made, placed
    first = 1650.0 if made == OLDER else EDGES[made]
    last = EDGES[0] if made == OLDER else EDGES[made + 1]
    world.origin[name] = random.uniform(first, last)
    world.year[name] = random.uniform(EDGES[placed], EDGES[placed + 1])
    if made == placed:
        world.year[name] = world.origin[name]


def _fix(world: World, part: str, random: np.random.Generator) -> tuple[str, ...]:
    """Fixings of a part: put in with it, now and then one renewed later."""
    names = tuple(f"nail {part} {n}" for n in range(int(random.integers(1, 3))))
    for number, name in enumerate(names):
        placed = world.placed[part]
        if number and random.random() < 0.3 and placed < TREATMENT - 1:
            placed = int(random.integers(placed + 1, TREATMENT))
        made = placed if random.random() > 0.05 else int(random.integers(OLDER, placed + 1))
        _add(world, name, made, placed, random)
        world.things.append(Thing(name, ThingKind.FIXING))
    return names


def _coat(world: World, name: str, regime: Regime, random: np.random.Generator) -> None:
    below = str(random.choice(list(world.placed)))
    when = world.placed[below]
    if random.random() > regime.cohesion and when < TREATMENT - 1:
        when = int(random.integers(when + 1, TREATMENT))
    _add(world, name, when, when, random)
    world.sits_on[name] = below
    world.things.append(Thing(name, ThingKind.LAYER, touches=(below,)))


# ------------------------------------------------------------------ what is said


def _say(
    world: World, source: str, relation: Relation, subject: str, **more: object
) -> None:
    claim = CaseClaim(f"c{len(world.claims):04d}", source, relation, subject)
    world.claims.append(replace(claim, **more))  # type: ignore[arg-type]


def _soundness(kind: SourceKind, regime: Regime, random: np.random.Generator) -> float:
    """How often this source's reports truly depend on the truth."""
    spared = kind is SourceKind.EXAMINATION and not regime.bad_examination
    if regime.bad is not None and not spared:
        return 0.0 if random.random() < regime.bad else 1.0
    grid = SOUNDNESS[USUAL_RELIABILITY[kind]]
    return float(random.choice(SOUNDNESS_GRID, p=grid))


def _examine(world: World, regime: Regime, random: np.random.Generator) -> None:
    """A direct examination, and a photograph of 1925."""
    kind = SourceKind.EXAMINATION
    world.sources += [CaseSource("look", kind), CaseSource("photo", SourceKind.IMAGE)]
    sound = _soundness(kind, regime, random)
    story = int(random.integers(TREATMENT)) if regime.story else None
    for thing in world.things:
        _say(world, "look", Relation.SEEN_BY, thing.id, years=(2015.0, 2015.1),
             strength="decisive")  # fmt: skip
        if thing.id in world.sits_on and not thing.core:
            _order(world, thing.id, world.sits_on[thing.id], sound, random)
        if random.random() < regime.claims * 0.35:
            _phase_claim(world, "look", thing.id, sound, story, random)
        _material(world, thing.id, sound, random)
        _pictured(world, thing.id, random)


def _order(
    world: World, upper: str, lower: str, sound: float, random: np.random.Generator
) -> None:
    one, two = world.placed[upper], world.placed[lower]
    word = str(random.choice(WORDS, p=WORD_SHARE))
    right = 1 - 1 / (1 + likelihood_ratio(word))
    over = one > two if random.random() < right else one < two
    if one == two or random.random() > sound:
        over = bool(random.random() < 0.5)
    pair = (upper, lower) if over else (lower, upper)
    _say(world, "look", Relation.LATER_THAN, pair[0], other=pair[1], strength=word)


def _material(world: World, name: str, sound: float, random: np.random.Generator) -> None:
    """A material with a first year, found on the thing if it was to be had by then."""
    year = random.uniform(1700, 2010)
    found = year <= world.origin[name] if random.random() < sound else random.random() < 0.3
    if random.random() < 0.3 and found:
        _say(world, "look", Relation.NOT_BEFORE, name, years=(year, year + 1),
             strength="strong")  # fmt: skip


def _pictured(world: World, name: str, random: np.random.Generator) -> None:
    there = world.year[name] <= 1925
    if random.random() < (0.4 if there else 0.2):
        relation = Relation.SEEN_BY if there else Relation.ABSENT_ON
        _say(world, "photo", relation, name, years=(1925.0, 1925.1), strength="strong")


def _papers(world: World, regime: Regime, random: np.random.Generator) -> None:
    for name, kind in PAPERS.items():
        world.sources.append(CaseSource(name, kind))
        sound = _soundness(kind, regime, random)
        story = int(random.integers(TREATMENT)) if regime.story else None
        for thing in world.things:
            if random.random() < regime.claims * 0.2:
                _phase_claim(world, name, thing.id, sound, story, random)


def _phase_claim(
    world: World,
    source: str,
    thing: str,
    sound: float,
    story: int | None,
    random: np.random.Generator,
) -> None:
    """A phase is named: drawn by the odds of the word where the source heeds the truth."""
    relation = Relation.PLACED_IN if random.random() < 0.6 else Relation.MADE_IN
    truth = world.placed[thing] if relation is Relation.PLACED_IN else world.made[thing]
    word = str(random.choice(WORDS, p=WORD_SHARE))
    count = len(SPANS)
    if random.random() < sound:
        if truth == OLDER:
            return
        weight = np.ones(count)
        weight[truth] = likelihood_ratio(word)
        stated = int(random.choice(count, p=weight / weight.sum()))
    else:
        stated = int(random.integers(count)) if story is None else story
    _say(world, source, relation, thing, phase=f"P{stated}", strength=word)


def _copies(world: World, regime: Regime, random: np.random.Generator) -> None:
    """Papers that repeat another paper word for word."""
    if not regime.copies:
        return
    for name, kind in PAPERS.items():
        own = [claim for claim in world.claims if claim.source == name]
        for number in range(int(random.poisson(regime.copies))):
            copy = f"{name} copied {number}"
            copies = (name,) if regime.declared else ()
            world.sources.append(CaseSource(copy, kind, copies=copies))
            for claim in own:
                new = f"c{len(world.claims):04d}"
                world.claims.append(replace(claim, id=new, source=copy))


# ------------------------------------------------------------------ as it is recorded


def _recorded(
    world: World, regime: Regime, random: np.random.Generator
) -> tuple[Case, World]:
    edges = np.array(EDGES)
    if regime.phases == "misdated":
        edges[1:-2] += random.normal(0, 20, len(edges) - 3)
        for k in range(1, len(edges) - 2):
            edges[k] = np.clip(edges[k], edges[k - 1] + 10, edges[-2] - 10 * (4 - k))
    spans, number = list(SPANS), list(range(len(SPANS)))
    if regime.phases == "merged":
        edges, spans, number = np.delete(edges, 3), spans[:3] + spans[4:], [0, 1, 2, 2, 3]
    elif regime.phases == "one too many":
        edges = np.insert(edges, 2, 1840.0)
        spans, number = [*spans[:2], Span.USE, *spans[2:]], [0, 1, 3, 4, 5]
    phases = tuple(
        CasePhase(f"P{k}", f"phase {k}", span, (edges[k] - 4, edges[k] + 4))
        for k, span in enumerate(spans)
    )
    claims = tuple(_renumbered(claim, number) for claim in world.claims)
    move = {OLDER: OLDER} | dict(enumerate(number))
    world.made = {name: move[k] for name, k in world.made.items()}
    world.placed = {name: move[k] for name, k in world.placed.items()}
    case = Case(phases, tuple(world.things), tuple(world.sources), claims, EDGES[-1])
    return case, world


def _renumbered(claim: CaseClaim, number: list[int]) -> CaseClaim:
    if claim.phase is None:
        return claim
    return replace(claim, phase=f"P{number[int(claim.phase[1:])]}")
