"""How soon a hundred thousand portions are given to ten thousand meals."""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from lidclock.plan.allot import Need, allot, issue_order
from lidclock.plan.lots import Lot

NOW = datetime(2026, 10, 31, 7, 30, tzinfo=UTC)
PORTIONS, MEALS, FOODS = 100_000, 10_000, 50
_DAYS = 7
ROUNDS = 5


def allotment(_: Path) -> Iterator[str]:
    """One portion to a container, ten to a meal; the floor sorts the same containers.

    They are sorted by the order in which they are taken. A second kitchen has one food
    only, which is the hardest for the sweep: everything waits in one heap. Processor
    time, since others may be at work on the machine.
    """
    for foods in (FOODS, 1):
        lots, needs = _kitchen(foods)
        ours, floor = [], []
        for _ in range(ROUNDS):
            floor.append(_seconds(lambda some=lots: sorted(some, key=issue_order)))
            ours.append(_seconds(lambda a=lots, b=needs: allot(a, b)))
        served = allot(lots, needs)
        given = PORTIONS - sum(served.left.values())
        took, sorting = statistics.median(ours), statistics.median(floor)
        yield (
            f"{foods} foods: {PORTIONS:,} portions to {MEALS:,} meals in {took:.2f} s "
            f"(goal < 5 s), {given:,} given"
        )
        yield f"  sorting them alone {sorting:.2f} s: ratio {took / sorting:.1f}"


def _kitchen(foods: int) -> tuple[list[Lot], list[Need]]:
    """Containers ready over a week, each good for up to a week; meals all along it."""
    chance = random.Random(foods)

    def within(days: float) -> timedelta:
        return timedelta(days=chance.random() * days)

    lots = []
    for number in range(PORTIONS):
        ready_at = NOW + within(_DAYS)
        lots.append(
            Lot(
                f"{number:07}",
                f"food {number % foods}",
                1,
                ready_at + within(_DAYS),
                ready_at,
                made_at=ready_at - within(1),
            )
        )
    needs = [
        Need(NOW + within(_DAYS), f"food {number % foods}", PORTIONS // MEALS, "meal")
        for number in range(MEALS)
    ]
    return lots, needs


def _seconds(work: Callable[[], object]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began
