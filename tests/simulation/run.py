"""`make simulation`: eight weeks of an invented kitchen, 200 times, told as a page.

Writes docs/simulation.md and docs/images/simulation.png; some minutes on two cores.
`--seeds N` lives fewer and prints the page instead.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from simulation.figure import draw
from simulation.policies import SEEDS
from simulation.runs import play_all
from simulation.tally import by_policy, estimate
from simulation.whole import findings, whole_page

DOCS = Path(__file__).parents[2] / "docs"
_CHUNK = 5


def main(arguments: Sequence[str] | None = None) -> None:
    """Live everything, then write the page and its figure."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, help="only so many; prints the page")
    asked = parser.parse_args(arguments)
    seeds = range(1, (asked.seeds or SEEDS) + 1)
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        found = findings(list(pool.map(play_all, seeds, chunksize=_CHUNK)))
    text = whole_page(found)
    if asked.seeds:
        sys.stdout.write(text)
        return
    (DOCS / "simulation.md").write_text(text, "utf-8")
    without = estimate([100 * one.no_freezer / one.made for one in found.least])
    draw(by_policy(found.rows), without, DOCS / "images" / "simulation.png")


if __name__ == "__main__":
    main()
