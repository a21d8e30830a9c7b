"""Which alarm was for what: hits, misses, late ones, false ones, and how soon."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lidclock.app.temp_limits import limit_of
from lidclock.guidance.load import load_set
from lidclock.templog.limits import PlaceLimit
from replay.air import STEP_MIN, Floats
from replay.live import Alarm, Run
from replay.month import EVERYWHERE, GUIDANCE, PLACES, Event, Script
from replay.sensing import World

# False alarms of one kind at one place that begin this soon after each other are one.
TOGETHER_MIN = 30.0
# Air is beyond the limit once it stays there for so long: a compressor's cycle may
# cross it for less.
_STAYS_MIN = 10.0


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of one event: `hit`, `missed`, `late`, `quiet` or `false`.

    `delay_min` is from its beginning to the alarm, `after_air_min` from when the air
    was beyond the limit for good; `tub_c` is how warm a litre of food was then, and
    `tub_min` how much later it passed the limit (None: never). `pieces` is how often
    the alarm began anew.
    """

    event: Event
    result: str
    delay_min: float | None = None
    after_air_min: float | None = None
    tub_c: float | None = None
    tub_min: float | None = None
    pieces: int = 0


@dataclass(frozen=True, slots=True)
class Tally:
    """What became of every event, and the alarms that were for none."""

    answers: tuple[Answer, ...]
    false: tuple[Alarm, ...]

    def count(self, result: str) -> int:
        """How many events ended so."""
        return sum(one.result == result for one in self.answers)

    @property
    def false_count(self) -> int:
        """False alarms, those close together as one; in quiet events too."""
        return len(self.false)

    def delays(self, kind: str = "excursion") -> list[float]:
        """How long after the cause the hits of a kind came  [min]."""
        return [
            one.delay_min
            for one in self.answers
            if one.delay_min is not None
            and one.result == "hit"
            and one.event.expected == kind
        ]


@dataclass(frozen=True, slots=True)
class Outcome:
    """A month that was lived: how often it was asked, ours, and the plain alarm's."""

    seed: int
    asks: int
    readings: int
    ours: Tally
    plain: Tally
    run: Run
    offs_c: dict[str, float]


def tally(script: Script, world: World, alarms: Sequence[Alarm]) -> Tally:
    """Set alarms against the script's events, each alarm to the first that wants it."""
    left, answers = list(alarms), []
    for event in script.played:
        own = [one for one in left if _is_for(one, event)]
        left = [one for one in left if one not in own or not event.expected]
        wanted = [one for one in own if one.kind == event.expected]
        answers.append(_answer(event, own, wanted, world))
    return Tally(tuple(answers), tuple(_together(left)))


def _is_for(alarm: Alarm, event: Event) -> bool:
    kinds = (event.expected, *event.also) if event.expected else (alarm.kind,)
    return (
        alarm.kind in kinds
        and event.place in (alarm.place, EVERYWHERE)
        and event.began < alarm.began <= event.ended + event.settles
    )


def _answer(
    event: Event, own: Sequence[Alarm], wanted: Sequence[Alarm], world: World
) -> Answer:
    if not event.expected:
        return Answer(event, "false" if own else "quiet", pieces=len(own))
    if not wanted:
        return Answer(event, "missed")
    first = wanted[0].began
    result = "hit" if first <= event.ended else "late"
    delay, pieces = first - event.began, len(wanted)
    if event.expected != "excursion":
        return Answer(event, result, delay, pieces=pieces)
    limit = limit_at(event.place)
    assert limit is not None
    beyond = since_beyond(world.air[event.place], event, limit)
    tub = world.tub[event.place]
    warm = since_beyond(tub, event, limit, stays_min=STEP_MIN)
    return Answer(
        *(event, result, delay),
        None if beyond is None else first - beyond,
        float(tub[min(int(first / STEP_MIN), tub.size - 1)]),
        None if warm is None else warm - first,
        pieces,
    )


def limit_at(place: str) -> PlaceLimit | None:
    """What a place of this kitchen is held to."""
    found = next(one for one in PLACES if one.name == place)
    return limit_of(found, load_set(GUIDANCE))


def since_beyond(
    temps: Floats, event: Event, limit: PlaceLimit, stays_min: float = _STAYS_MIN
) -> float | None:
    """From which minute of an event on a temperature was beyond the limit for good."""
    first = int(event.began / STEP_MIN)
    part = temps[first : int((event.ended + event.settles) / STEP_MIN)]
    is_beyond = part < limit.limit_c if limit.is_floor else part > limit.limit_c
    need = round(stays_min / STEP_MIN)
    runs = np.convolve(is_beyond, np.ones(need), "valid")
    found = np.flatnonzero(runs >= need)
    return None if not found.size else (first + int(found[0])) * STEP_MIN


def _together(alarms: Sequence[Alarm]) -> list[Alarm]:
    """Alarms of one kind at one place that are close together, as one."""
    found: list[Alarm] = []
    last: dict[tuple[str, str], Alarm] = {}
    for one in sorted(alarms, key=lambda alarm: alarm.began):
        before = last.get((one.kind, one.place))
        if before is not None and one.began - before.ended <= TOGETHER_MIN:
            before.ended = max(before.ended, one.ended)
            continue
        merged = Alarm(one.kind, one.place, one.began, one.ended)
        last[one.kind, one.place] = merged
        found.append(merged)
    return found
