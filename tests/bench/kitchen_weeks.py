"""What is wasted in the simulated kitchen under each policy, and how long that takes.

The figures are those of docs/simulation.md, lived again: a model, no evidence about any
real kitchen.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from simulation.kitchen import DAYS
from simulation.page import said, signed
from simulation.policies import NOTHING, POLICIES, SEEDS
from simulation.runs import AS_IT_IS, play
from simulation.tally import (
    LOST,
    UNMET,
    WASTED,
    by_policy,
    estimate,
    more_often,
    paired,
)


def simulation(_: Path) -> Iterator[str]:
    """Every policy over all seeds on one core; shares of what was made, 95 %."""
    began = time.process_time()
    columns = by_policy([play(AS_IT_IS, seed) for seed in range(1, SEEDS + 1)])
    seconds = time.process_time() - began
    nothing = columns[NOTHING.name]
    for policy in POLICIES:
        some = columns[policy.name]
        wasted, lost, unmet = (
            said(estimate([measure(x) for x in some]))
            for measure in (WASTED, LOST, UNMET)
        )
        yield f"{policy.name}: wasted {wasted} %, or still frozen {lost} %"
        if policy is not NOTHING:
            against = signed(paired(some, nothing, WASTED))
            worse, _ = more_often(some, nothing, WASTED)
            yield (
                f"  against nothing {against} points, more wasted in {worse} of {SEEDS}"
            )
        yield f"  unmet {unmet} % of wants"
    lives = SEEDS * len(POLICIES)
    yield f"{lives:,} lives of {DAYS} days: {seconds:.0f} s of one core (goal < 60 s)"
