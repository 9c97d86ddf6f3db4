"""What claims weigh, from draws and exactly, on an object too wide for the usual budget.

    python bench/sampled_reasons.py [SEED]

An object of regime N5 (copies that nobody recorded as copies) is assessed once with a
budget that makes it exact all the same, and once by sampling; for each thing the weights
of all claims are told both ways.
"""

import sys
import time

import numpy as np
from simulated_history import REGIMES, simulate

from vestige.graph.reasoning import Params, assess
from vestige.graph.reasoning.inquiry import Inquiry
from vestige.graph.reasoning.sampled_inquiry import SampledInquiry

ROOMY = Params(budget=3e8)


def main(seed: int) -> None:
    """Print, per thing, seconds of both, what is told and how far it is off."""
    regime = next(one for one in REGIMES if one.name == "N5")
    case, _ = simulate(regime, seed)
    exact, sampled = assess(case, ROOMY), assess(case)
    print(f"{len(case.things)} things, {len(case.claims)} claims; exact: {sampled.exact}")
    print("thing              exact s  draws s  told  largest miss  untold, over 0.1")
    count = len(case.phases)
    original = np.zeros((count + 1, count), dtype=bool)
    original[1, :] = True
    for thing in case.things[1:]:
        began = time.perf_counter()
        right = {o.claim: o.weight for o in Inquiry(exact, thing.id).weights(original)}
        middle = time.perf_counter()
        told = SampledInquiry(sampled, thing.id).weights(original)
        ended = time.perf_counter()
        miss = max((abs(one.weight - right[one.claim]) for one in told), default=0.0)
        mute = set(right) - {one.claim for one in told}
        heavy = sum(abs(right[one]) > 0.1 for one in mute)
        print(
            f"{thing.id:<16}{middle - began:>9.1f}{ended - middle:>9.1f}{len(told):>6}"
            f"{miss:>14.3f}{heavy:>8}"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 0)
