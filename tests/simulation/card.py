"""What the program proposes in the morning, from what the kitchen knows by then."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from itertools import groupby

from lidclock.domain.moments import last_date
from lidclock.domain.planning import Choices
from lidclock.plan.allot import issue_order
from lidclock.plan.demand import Demand
from lidclock.plan.lots import Lot
from lidclock.plan.par import Step, expected_outdating, to_make
from lidclock.plan.surplus import Risk, risks
from simulation.kitchen import ZONE, Day
from simulation.learned import Record

# What a wasted and a frozen portion cost, how long a making lasts and how surely: what
# the program takes where nobody said.
CHOICES = Choices()


def days_before(moment: datetime, day: Day) -> int:
    """Days that are left for eating, this one too."""
    return (last_date(moment, ZONE) - day.on).days + 1


def risks_of(lots: Sequence[Lot], record: Record, day: Day) -> tuple[Risk, ...]:
    """What of a food will hardly be eaten; nothing while its demand is not known."""
    if not lots or record.demand(lots[0].food, 1) is None:
        return ()
    name = lots[0].food

    def wanted_before(moment: datetime) -> Demand:
        return _known(record, name, days_before(moment, day))

    worth, freezing = CHOICES.worth_of(name), CHOICES.freezing_of(name)
    return risks(lots, wanted_before, worth, freezing)


def portions_to_make(
    name: str, lots: Iterable[Lot], frozen: int, record: Record, day: Day
) -> int | None:
    """What to make of a food today beside what there is; None while that is unknown."""
    if record.demand(name, 1) is None:
        return None
    steps, cover, before = [], CHOICES.cover_days, 0
    ending = [
        (min(days_before(_ends(lot), day), cover + 1), lot.portions)
        for lot in sorted(lots, key=issue_order)
    ]
    usable = frozen + sum(portions for _, portions in ending)
    for days, group in groupby(ending, key=lambda one: one[0]):
        # What lasts longer than the making has to passes no last moment in that time.
        if days <= cover:
            expiring = sum(portions for _, portions in group)
            steps.append(Step(expiring, _known(record, name, days - before)))
            before = days
    outdating = expected_outdating(steps) if steps else 0.0
    demand = _known(record, name, cover)
    return to_make(demand, CHOICES.service, usable, outdating)


def _known(record: Record, name: str, days: int) -> Demand:
    found = record.demand(name, days)
    assert found is not None
    return found


def _ends(lot: Lot) -> datetime:
    assert lot.last_moment is not None
    return lot.last_moment
