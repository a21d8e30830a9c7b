"""`make replay`: a scripted month of temperatures, lived through and told as a page.

`--days N` plays only the first days, `--seeds N` how many months of other chance are
told beside the first. A month takes a core a quarter of an hour, half of that where
alerts look back one day.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from replay.live import live, quickly
from replay.month import DAYS, SEED, Script
from replay.page import page, short_lines
from replay.sensing import make_world
from replay.tally import Outcome, tally

SHORT_DAYS = 2
# A month takes seven minutes of one core, so that few are told by default.
OTHER_SEEDS = 2
# Other months look back a day, not seven, to be quicker.
_OTHERS_LOOK_BACK = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Order:
    """One month to be lived: which chance, how many days, how far alerts look back."""

    seed: int
    days: int = DAYS
    look_back: timedelta | None = None


def play(order: Order) -> Outcome:
    """Live one month in a kitchen of its own, and set its alarms against the script."""
    script = Script(order.days)
    world = make_world(script, order.seed)
    with tempfile.TemporaryDirectory() as folder, quickly(order.look_back):
        run = live(script, world, order.seed, Path(folder))
    return Outcome(
        *(order.seed, run.asks, run.readings),
        tally(script, world, run.ours),
        tally(script, world, run.plain),
        run,
        {name: said.off_c for name, said in world.said.items()},
    )


def orders(seeds: int) -> Iterator[Order]:
    """The month, the same looking back less, and months of other chance."""
    yield Order(SEED)
    for seed in range(SEED, SEED + 1 + seeds):
        yield Order(seed, look_back=_OTHERS_LOOK_BACK)


def main(arguments: Sequence[str] | None = None) -> None:
    """Print the page, or with `--days` a few lines about fewer days."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, help="only so many days, in short")
    parser.add_argument("--seeds", type=int, default=OTHER_SEEDS)
    asked = parser.parse_args(arguments)
    if asked.days:
        print("\n".join(short_lines(play(Order(SEED, asked.days)))))
        return
    short, *wanted = [Order(SEED, SHORT_DAYS), *orders(asked.seeds)]
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        outcomes = list(pool.map(play, [short, *wanted]))
    sys.stdout.write(page(*outcomes[:3], outcomes[2:]))


if __name__ == "__main__":
    main()
