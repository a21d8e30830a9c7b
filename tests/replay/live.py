"""A month lived through the program's own functions, asked every five minutes.

Readings are kept as they arrive, `now` moves on, and at each step the question of
`lidclock alert` is put (`app.temp_report.temperature_alerts`, what is pressing of it).
Beside it the simplest alarm there is: any reading beyond the limit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from functools import lru_cache
from pathlib import Path

import numpy as np

from lidclock.app import setup, temp_report
from lidclock.app.sensors import add_sensor, move_sensor, need_sensor
from lidclock.app.session import Session
from lidclock.app.temp_limits import limit_of
from lidclock.app.temps import keep_readings, type_reading
from lidclock.domain.kitchens import Kitchen
from lidclock.store import readings as stored
from lidclock.templog.series import micros
from replay.month import (
    BEGAN,
    CLEARED,
    GUIDANCE,
    LOOK_SPREAD_MIN,
    LOOKS,
    MOVES,
    PLACES,
    PROBES,
    SERVED,
    SUNDAY_LOOKS,
    TYPED,
    ZONE_NAME,
    Script,
    instant_of,
    local_of,
    minute,
)
from replay.sensing import World

EVERY_MIN = 5.0
_SUNDAY = 6


@dataclass(slots=True)
class Alarm:
    """One unbroken alarm of one kind at one place: first and last heard  [min]."""

    kind: str
    place: str
    began: float
    ended: float


@dataclass(slots=True)
class Heard:
    """Everything that alarmed, in the order in which it began."""

    alarms: list[Alarm] = field(default_factory=list)
    _last: dict[tuple[str, str], Alarm] = field(default_factory=dict)

    def tell(self, at: float, kinds: set[tuple[str, str]]) -> None:
        """What alarmed when it was asked at a minute."""
        for key in sorted(kinds):
            last = self._last.get(key)
            if last is None or at - last.ended > 1.5 * EVERY_MIN:
                last = self._last[key] = Alarm(*key, at, at)
                self.alarms.append(last)
            last.ended = at


@dataclass(frozen=True, slots=True)
class Run:
    """What a month sounded like: ours, and any reading beyond the limit."""

    ours: list[Alarm]
    plain: list[Alarm]
    asks: int
    readings: int


@contextmanager
def quickly(look_back: timedelta | None = None) -> Iterator[None]:
    """Unpack each stored block once only, which changes no answer.

    With `look_back` an alert looks back that far instead, which may.
    """
    whole, kept = temp_report.LOOK_BACK, stored.unpack
    temp_report.LOOK_BACK = look_back or whole
    stored.unpack = lru_cache(maxsize=50_000)(kept)
    try:
        yield
    finally:
        temp_report.LOOK_BACK, stored.unpack = whole, kept


def live(script: Script, world: World, seed: int, folder: Path) -> Run:
    """Play it all; the same for the same seed."""
    path = folder / "kitchen.db"
    kitchen = Kitchen("", "Mill Lane Kitchen", ZONE_NAME, GUIDANCE)
    setup.init_kitchen(path, kitchen, PLACES)
    session = Session.open(path, now=BEGAN, device="replay")
    for one in PROBES:
        every = timedelta(minutes=one.every_min) if one.is_told else None
        add_sensor(session, one.name, one.place, interval=every)
    session.now += timedelta(seconds=1)
    move_sensor(session, "Hot probe", None)
    ours, plain = Heard(), Heard()
    acts = sorted([*_looks(script, seed), *_moves(script)])
    kept, asks, at = _Kept(world), 0, EVERY_MIN
    while at <= script.minutes:
        beyond: set[str] = set()
        while acts and acts[0][0] <= at:
            when, what, name = acts.pop(0)
            session.now = instant_of(when)
            if what == "look":
                temp_c = round(world.at(name, when), 1)
                type_reading(session, name, temp_c, anyway=True)
                beyond |= _beyond(session, name, [temp_c])
            else:
                move_sensor(session, what, name or None)
        session.now = instant_of(at)
        beyond |= kept.keep(session, at)
        found = temp_report.temperature_alerts(session)
        ours.tell(at, {(x.kind, x.place.name) for x in found if x.is_pressing})
        plain.tell(at, {("excursion", place) for place in beyond})
        asks, at = asks + 1, at + EVERY_MIN
    session.close()
    return Run(ours.alarms, plain.alarms, asks, kept.count)


def _beyond(session: Session, place: str, temps_c: Sequence[float]) -> set[str]:
    """The place, if any of its readings is beyond its limit."""
    limit = limit_of(session.place(place), session.guidance)
    is_beyond = limit is not None and any(map(limit.is_beyond, temps_c))
    return {place} if is_beyond else set()


class _Kept:
    """Keeps what arrived since it was last asked to."""

    def __init__(self, world: World) -> None:
        self.world = world
        self.done = dict.fromkeys(world.said, 0)
        self.count = 0

    def keep(self, session: Session, at: float) -> set[str]:
        """Store every probe's batch in one act; the places that said too much."""
        now_us = micros(instant_of(at))
        beyond: set[str] = set()
        with session.write() as unit:
            for name, said in self.world.said.items():
                first = self.done[name]
                end = int(np.searchsorted(said.arrived_us, now_us, side="right"))
                if end == first:
                    continue
                self.done[name] = end
                times_us, temps_c = said.times_us[first:end], said.temps_c[first:end]
                sensor = need_sensor(unit, name)
                self.count += keep_readings(unit, sensor, times_us, temps_c).added.new
                place = _place_of(name, at)
                beyond |= _beyond(session, place, temps_c.tolist()) if place else set()
        return beyond


def _place_of(name: str, at: float) -> str:
    """Where a probe is by the kitchen's own records."""
    if name == "Hot probe":
        local = local_of(at)
        clock = f"{local:%H:%M}"
        is_served = local.weekday() != _SUNDAY and SERVED <= clock < CLEARED
        return "Hot hold" if is_served else ""
    place = next(one.place for one in PROBES if one.name == name)
    for move in MOVES:
        if move.probe == name and move.at <= at:
            place = move.place
    return place


def _looks(script: Script, seed: int) -> Iterator[tuple[float, str, str]]:
    """When somebody reads the thermometer of the place without a probe."""
    random = np.random.default_rng(seed + 1)
    missed = [x for x in script.events if x.place == TYPED and x.expected == "silent"]
    for day in range(1, script.days + 1):
        is_sunday = local_of(minute(day, "12:00")).weekday() == _SUNDAY
        for clock in SUNDAY_LOOKS if is_sunday else LOOKS:
            spread = random.uniform(-LOOK_SPREAD_MIN, LOOK_SPREAD_MIN)
            due = minute(day, clock)
            if not any(x.began < due < x.ended for x in missed):
                yield due + round(spread), "look", TYPED


def _moves(script: Script) -> Iterator[tuple[float, str, str]]:
    """Where probes are moved: the spare one, and the bath's for each lunch."""
    for move in MOVES:
        if move.at <= script.minutes:
            yield move.at, move.probe, move.place
    for day in range(1, script.days + 1):
        if local_of(minute(day, "12:00")).weekday() != _SUNDAY:
            yield minute(day, SERVED), "Hot probe", "Hot hold"
            yield minute(day, CLEARED), "Hot probe", ""
