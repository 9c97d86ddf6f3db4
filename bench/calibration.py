"""Do the probabilities and the verdict words keep their promise? Measured on simulations.

For every regime of `simulated_history` objects with known history are assessed and scored
against naive multiplication of the same claims, majority vote, and order alone. Printed
are log score, Brier score, expected calibration error and the error rate among firm
calls; then, of the things called original (added, later), the share that truly was. The
reliability diagram is written as SVG.

This shows coherence on simulated objects only. Where a regime's truth departs from the
premises (N1 to N6) nobody promises calibration; what is asked there is that answers widen
or go open and do not become confidently wrong.

Run: ``python bench/calibration.py [--quick] [--objects N] [--svg FILE]``.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import numpy.typing as npt
from simulated_history import REGIMES, Regime, World, simulate

from vestige.graph.reasoning import (
    Assessment,
    Case,
    Grade,
    Params,
    Verdict,
    VerdictWord,
    assess,
    verdicts,
)
from vestige.graph.record import TAKES_PHASE, Relation

Cells = npt.NDArray[np.float64]
NAMES_PHASE = TAKES_PHASE | {Relation.AS_MADE}
ORIGINAL = frozenset({VerdictWord.IN_PLACE, VerdictWord.MOVED, VerdictWord.ORIGINAL})
LATER = frozenset(
    {VerdictWord.ADDED, VerdictWord.OLD_LATER, VerdictWord.LATER, VerdictWord.UNTOLD}
)
PROMISE = {Grade.ESTABLISHED: 0.99, Grade.PROBABLE: 0.90, Grade.POSSIBLE: 0.70}


# ------------------------------------------------------------------ methods


def placed(assessment: Assessment) -> dict[str, Cells]:
    """Per thing, P(placed)."""
    return {thing: belief.sum(axis=0) for thing, belief in assessment.beliefs.items()}


def ours(case: Case) -> dict[str, Cells]:
    """The assessment as shipped."""
    return placed(assess(case))


def at_face_value(case: Case) -> dict[str, Cells]:
    """Every claim multiplied in as if its source were sound; copies multiplied too."""
    sources = tuple(
        replace(source, soundness=(0.0, 0.0, 0.0, 1.0), one_story=0.0, copies=())
        for source in case.sources
    )
    return placed(assess(replace(case, sources=sources)))


def order_alone(case: Case) -> dict[str, Cells]:
    """Only what lies over what, what was seen when, and the physical ties."""
    claims = tuple(claim for claim in case.claims if claim.relation not in NAMES_PHASE)
    return placed(assess(replace(case, claims=claims)))


def majority(case: Case) -> dict[str, Cells]:
    """One vote a claim for the phase that it names."""
    votes = {thing.id: np.full(len(case.phases), 0.5) for thing in case.things}
    for claim in case.claims:
        if claim.relation in NAMES_PHASE and claim.phase is not None:
            votes[claim.subject][case.phase_number(claim.phase)] += 1
    return {thing: vote / vote.sum() for thing, vote in votes.items()}


METHODS: dict[str, Callable[[Case], dict[str, Cells]]] = {
    "assessment": ours,
    "multiplied at face value": at_face_value,
    "majority vote": majority,
    "order alone": order_alone,
}


# ------------------------------------------------------------------ scores


@dataclass
class Score:
    """Forecasts of one method, thing by thing.

    Attributes:
        log, brier: one per object, mean over its things.
        top: probability of the likeliest phase, one per thing.
        right: whether that phase was the true one.
    """

    log: list[float] = field(default_factory=list)
    brier: list[float] = field(default_factory=list)
    top: list[float] = field(default_factory=list)
    right: list[bool] = field(default_factory=list)

    def add(self, forecast: dict[str, Cells], world: World, judged: Sequence[str]) -> None:
        """Score one object."""
        logs, briers = [], []
        for thing in judged:
            shares, truth = forecast[thing], world.placed[thing]
            logs.append(-float(np.log(max(shares[truth], 1e-12))))
            briers.append(float(((shares - np.eye(len(shares))[truth]) ** 2).sum()))
            self.top.append(float(shares.max()))
            self.right.append(int(shares.argmax()) == truth)
        self.log.append(float(np.mean(logs)))
        self.brier.append(float(np.mean(briers)))

    def bins(self, edges: Sequence[float]) -> list[tuple[float, float, int]]:
        """Mean forecast, share right and count between every two edges."""
        top, right = np.array(self.top), np.array(self.right)
        found = []
        for low, high in pairwise(edges):
            inside = (top >= low) & (top < high)
            if inside.sum() >= 20:
                share = float(right[inside].mean())
                found.append((float(top[inside].mean()), share, int(inside.sum())))
        return found

    def line(self) -> str:
        """Log score with its standard error, Brier, calibration error, firm calls wrong."""
        logs = np.array(self.log)
        spread = logs.std(ddof=1) / np.sqrt(len(logs))
        bins = self.bins(np.linspace(0, 1.0001, 16).tolist())
        total = sum(count for _, _, count in bins) or 1
        gap = sum(count * abs(said - so) for said, so, count in bins) / total
        firm = np.array(self.top) > 0.95
        wrong = 1 - np.array(self.right)[firm].mean() if firm.any() else float("nan")
        return (
            f"log {logs.mean():.3f} ±{spread:.3f}  Brier {np.mean(self.brier):.3f}  "
            f"ECE {gap:.3f}  right {np.mean(self.right):.3f}  "
            f"p>.95: {firm.mean():.2f}, wrong {wrong:.3f}"
        )


@dataclass
class Promise:
    """How often a verdict word was true, by group of words and grade."""

    counts: dict[tuple[str, Grade], list[int]] = field(default_factory=dict)
    open: int = 0
    unexamined: int = 0

    def add(self, case: Case, world: World) -> None:
        """Count the verdicts on one object; the core is left out."""
        for verdict in verdicts(assess(case)):
            if verdict.by_definition:
                continue
            if verdict.word is VerdictWord.UNEXAMINED:
                self.unexamined += 1
            elif verdict.word is VerdictWord.OPEN:
                self.open += 1
            else:
                group, true = truth_of(verdict, world)
                cell = self.counts.setdefault((group, verdict.grade), [0, 0])
                cell[0] += true
                cell[1] += 1

    def lines(self) -> list[str]:
        """One line a group and grade, with the promise beside it."""
        found = [f"   open {self.open}, unexamined {self.unexamined}"]
        for (group, grade), (true, count) in sorted(self.counts.items()):
            share = true / count
            kept = "kept" if share >= PROMISE[grade] else "BROKEN"
            if share < PROMISE[grade] and count * (PROMISE[grade] - share) < 2:
                kept = "within two cases"
            found.append(
                f"   called {group}, {grade}: {true} of {count} = {share:.3f} "
                f"(promised {PROMISE[grade]:.2f}: {kept})"
            )
        return found


def truth_of(verdict: Verdict, world: World) -> tuple[str, bool]:
    """Group of a verdict's word, and whether it is true in all that it says."""
    word, thing = verdict.word, verdict.thing
    made, place = world.made[thing], world.placed[thing]
    if word in ORIGINAL:
        exact = {VerdictWord.IN_PLACE: place == 0, VerdictWord.MOVED: place > 0}
        return "original", made == 0 and exact.get(word, True)
    if word is VerdictWord.OLDER:
        return "older, from the start", made < 0 and place == 0
    if word in (VerdictWord.LATER, VerdictWord.UNTOLD):
        return "later", made != 0 and place > 0
    named = int(verdict.phases[0][1:])
    old = word is not VerdictWord.OLD_LATER or made < place
    return "added in a phase", made != 0 and place == named and old


# ------------------------------------------------------------------ the run


def run(regime: Regime, objects: int, seed: int) -> tuple[dict[str, Score], Promise]:
    """Simulate, assess and score."""
    scores = {name: Score() for name in METHODS}
    promise = Promise()
    for number in range(objects):
        case, world = simulate(regime, seed * 100_003 + number)
        judged = [thing.id for thing in case.things if not thing.core]
        for name, method in METHODS.items():
            scores[name].add(method(case), world, judged)
        promise.add(case, world)
    return scores, promise


def picture(scores: dict[str, dict[str, Score]]) -> str:
    """Reliability diagram as SVG: stated against observed, a line per regime."""
    edges = np.linspace(0.2, 1.0001, 11).tolist()
    colours = ("#12307f", "#2a8fd0", "#6b2a86", "#b1541f", "#1c5a2c", "#b00020")
    parts = [
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 560 440" width="560">',
        "<title>Reliability of the assessment on simulated objects</title>",
        '<rect width="560" height="440" fill="white"/>',
        '<rect x="60" y="20" width="360" height="360" fill="none" stroke="#444"/>',
        '<line x1="60" y1="380" x2="420" y2="20" stroke="#999" stroke-dasharray="4 4"/>',
        '<text x="240" y="420" text-anchor="middle" font-size="13">stated</text>',
        '<text x="20" y="200" font-size="13" transform="rotate(-90 20 200)">'
        "observed</text>",
    ]
    for tenth in range(0, 11, 2):
        at = 36 * tenth
        parts.append(f'<text x="{60 + at}" y="396" text-anchor="middle" font-size="11">'
                     f"{tenth / 10:.1f}</text>")  # fmt: skip
        parts.append(f'<text x="54" y="{384 - at}" text-anchor="end" font-size="11">'
                     f"{tenth / 10:.1f}</text>")  # fmt: skip
    for number, (regime, by_method) in enumerate(scores.items()):
        colour = colours[number % len(colours)]
        dash = "" if number < len(colours) else ' stroke-dasharray="6 3"'
        points = [
            (60 + 360 * said, 380 - 360 * so)
            for said, so, _ in by_method["assessment"].bins(edges)
        ]
        path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
        parts.append(f'<polyline points="{path}" fill="none" stroke="{colour}"{dash}/>')
        parts += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3" fill="{colour}"/>'
                  for x, y in points]  # fmt: skip
        y = 34 + 18 * number
        parts.append(f'<line x1="436" y1="{y}" x2="460" y2="{y}" stroke="{colour}"{dash}/>')
        parts.append(f'<text x="466" y="{y + 4}" font-size="12">{regime}</text>')
    return "\n".join([*parts, "</svg>", ""])


def main() -> None:
    """Print the tables and write the picture."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--quick", action="store_true", help="a few objects a regime")
    parser.add_argument("--objects", type=int, default=300, help="objects a regime")
    parser.add_argument("--svg", type=Path, help="where to write the diagram")
    parser.add_argument("--only", help="names of regimes, separated by commas")
    given = parser.parse_args()
    objects = 25 if given.quick else given.objects
    print(f"premises: {Params()}")
    scores: dict[str, dict[str, Score]] = {}
    for seed, regime in enumerate(REGIMES):
        if given.only and regime.name not in given.only.split(","):
            continue
        found, promise = run(regime, objects, seed)
        scores[regime.name] = found
        count = len(found["assessment"].top)
        print(f"\n## {regime.name}: {regime.note} ({objects} objects, {count} things)")
        for name, score in found.items():
            print(f"   {name:26s} {score.line()}")
        print("\n".join(promise.lines()), flush=True)
    if given.svg:
        given.svg.write_text(picture(scores), encoding="utf-8")


if __name__ == "__main__":
    main()
