"""Last moments of the simulated containers, out of the program's own clock.

Kept once they are known, since every run lives through the same eight weeks.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import cache

from lidclock.clock import Verdict, judge
from lidclock.domain.history import History, Placing, stays_of
from lidclock.guidance.load import load_set
from simulation.kitchen import STOCKS, ZONE

# On the counter until it is put away: our choice, within the two hours of the charts.
_PUT_AWAY = timedelta(hours=1)
_A_MOMENT = timedelta(minutes=1)
GUIDANCE = "us-home"


def _verdict(
    name: str, made_at: datetime, *later: tuple[datetime, str], now: datetime
) -> Verdict:
    stock = STOCKS[name]
    put_away = timedelta(0) if stock.is_pack else _PUT_AWAY
    placings = [Placing(made_at + put_away, "fridge")]
    placings += [Placing(at, state) for at, state in later]
    opened_at = made_at if stock.is_pack else None
    history = History(made_at, opened_at=opened_at, stays=stays_of(made_at, placings))
    return judge(stock.food, history, load_set(GUIDANCE), zone=ZONE, now=now)


@cache
def last_moment(name: str, made_at: datetime) -> datetime:
    """Until when it can be eaten out of the fridge, exclusive."""
    verdict = _verdict(name, made_at, now=made_at + 2 * _PUT_AWAY)
    assert verdict.over_at is not None
    return verdict.over_at


@cache
def binding_rule(name: str, made_at: datetime) -> str:
    """The rule that ends it."""
    binding = _verdict(name, made_at, now=made_at + 2 * _PUT_AWAY).binding
    assert binding is not None
    return binding.rule.id


@cache
def can_freeze(name: str, made_at: datetime, at: datetime) -> bool:
    """Whether the clock offers it, and a day is left for when it is thawed."""
    if "freeze" not in _verdict(name, made_at, now=at).next:
        return False
    frozen = _verdict(name, made_at, (at, "freezer"), now=at + _A_MOMENT)
    return (frozen.days_left or 0) >= 1


@cache
def thawed_until(
    name: str, made_at: datetime, frozen_at: datetime, at: datetime
) -> datetime:
    """Until when it can be eaten if it is taken out at `at`."""
    moves = ((frozen_at, "freezer"), (at, "fridge"))
    verdict = _verdict(name, made_at, *moves, now=at + _A_MOMENT)
    assert verdict.over_at is not None
    return verdict.over_at
