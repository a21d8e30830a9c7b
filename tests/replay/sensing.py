"""What the probes of a month say: late, noisy, in tenths, and sometimes wrong."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidclock.templog.series import micros
from replay.air import (
    BODIES,
    RATES,
    STEP_MIN,
    TUB_MIN,
    Driven,
    Floats,
    air_of,
    openings,
    room,
    smoothed,
)
from replay.month import (
    BEGAN,
    CLEARED,
    HEATED,
    MOVES,
    PROBES,
    Act,
    Event,
    Fault,
    Probe,
    Script,
    is_open,
    local_of,
    minute,
)

POWER_ON_C = 85.0
LOST_SHARE = 0.01
_SLOWEST_S = 20.0
_PER_MINUTE_US = 60_000_000
_FADES_MIN = 90.0
_SUNDAY = 6


@dataclass(frozen=True, slots=True)
class Said:
    """Readings of one probe as they arrived: when, how warm, arrived when  [µs, °C].

    `off_c` is by how much the probe is wrong all month.
    """

    times_us: NDArray[np.int64]
    temps_c: Floats
    arrived_us: NDArray[np.int64]
    off_c: float


@dataclass(frozen=True, slots=True)
class World:
    """What really was: the air of each place, and a tub of food in it, a step each."""

    air: dict[str, Floats]
    tub: dict[str, Floats]
    said: dict[str, Said]

    def at(self, place: str, minutes: float) -> float:
        """The air of a place at a minute  [°C]."""
        air = self.air[place]
        return float(air[min(int(minutes / STEP_MIN), air.size - 1)])


def make_world(script: Script, seed: int) -> World:
    """A month by chance, the same for the same seed; the script itself stands fast."""
    random = np.random.default_rng(seed)
    steps = round(script.minutes / STEP_MIN)
    minutes = np.arange(steps) * STEP_MIN
    working = np.array([is_open(at) for at in minutes.tolist()], dtype=np.float64)
    around = room(minutes, working)
    air = {"Counter": around}
    for place, body in BODIES.items():
        acts = Driven.quiet(steps)
        door = openings(random, is_open, script.days + 1, RATES[place])
        acts.door[:] = door[:steps]
        if place == "Hot hold":
            _heat_for_lunch(acts, script.days)
        for event in script.events:
            for act in event.acts:
                if act.place == place:
                    _apply(acts, act, event, minutes)
        air[place] = air_of(body, around, acts)
    tub = {place: smoothed(one, TUB_MIN) for place, one in air.items()}
    said = {one.name: _said(one, air, script, random) for one in PROBES}
    return World(air, tub, said)


def _heat_for_lunch(acts: Driven, days: int) -> None:
    acts.power[:] = 0.0
    acts.door[:] *= 0.5
    for day in range(1, days + 1):
        if local_of(minute(day, "12:00")).weekday() != _SUNDAY:
            first, last = minute(day, HEATED), minute(day, CLEARED)
            acts.power[int(first / STEP_MIN) : int(last / STEP_MIN)] = 1.0


def _apply(acts: Driven, act: Act, event: Event, minutes: Floats) -> None:
    inside = (minutes >= event.began) & (minutes < event.ended)
    if act.what == "door":
        # A stuck probe first, the door later: see the script.
        if any(one.what == "stuck" for one in event.faults):
            inside &= minutes >= event.began + 60
        acts.door[inside] = np.maximum(acts.door[inside], act.amount)
    elif act.what == "power":
        share = (minutes[inside] - event.began) / (event.ended - event.began)
        fallen = 1 - share * (1 - act.amount) if act.is_gradual else act.amount
        acts.power[inside] = np.minimum(acts.power[inside], fallen)
    elif act.what == "shift":
        acts.shift_c[inside] += act.amount
    else:
        since = np.maximum(minutes - event.began, 0.0)
        late = minutes >= event.began
        acts.heat[late] += act.amount * np.exp(-since[late] / _FADES_MIN)


def _said(
    probe: Probe, air: dict[str, Floats], script: Script, random: np.random.Generator
) -> Said:
    felt = smoothed(_air_around(probe, air), probe.lag_min)
    count = int(script.minutes / probe.every_min)
    phase = random.uniform(0, probe.every_min)
    times = phase + np.arange(count) * probe.every_min + random.uniform(0, 0.1, count)
    times = times[times < script.minutes]
    step = np.minimum((times / STEP_MIN).astype(np.int64), felt.size - 1)
    off = random.normal(0, 0.2)
    noise = random.normal(0, probe.noise_c, times.size)
    temps = felt[step] + off + noise
    is_kept = random.uniform(size=times.size) >= LOST_SHARE
    arrived = times + random.uniform(0, _SLOWEST_S / 60, times.size)
    draft = _Draft(times, temps, is_kept, arrived)
    for event in script.events:
        for fault in event.faults:
            if fault.probe == probe.name:
                _go_wrong(fault, event, draft)
    began_us = micros(BEGAN)
    # Radios give whole milliseconds.
    times_us = began_us + np.rint(times * 60_000).astype(np.int64) * 1000
    arrived_us = began_us + np.rint(arrived * _PER_MINUTE_US).astype(np.int64)
    order = np.flatnonzero(is_kept)
    order = order[np.argsort(arrived[order], kind="stable")]
    return Said(times_us[order], np.round(temps[order], 1), arrived_us[order], off)


def _air_around(probe: Probe, air: dict[str, Floats]) -> Floats:
    """The air that a probe hung in, wherever it was."""
    found = air[probe.place].copy()
    for move in MOVES:
        if move.probe == probe.name:
            first = int(move.at / STEP_MIN)
            found[first:] = air[move.place][first:]
    return found


@dataclass(frozen=True, slots=True)
class _Draft:
    """What a probe is about to say, before anything goes wrong  [min, °C]."""

    times: Floats
    temps: Floats
    is_kept: NDArray[np.bool_]
    arrived: Floats


def _go_wrong(fault: Fault, event: Event, draft: _Draft) -> None:
    """Change in place what the probe says while the event lasts."""
    inside = np.flatnonzero((draft.times >= event.began) & (draft.times < event.ended))
    if not inside.size:
        return
    if fault.what == "silent":
        draft.is_kept[inside] = False
    elif fault.what == "late":
        draft.arrived[inside] = np.maximum(draft.arrived[inside], event.ended)
    elif fault.what == "stuck":
        draft.temps[inside] = draft.temps[inside[0]]
    elif fault.what == "off":
        draft.temps[inside] += fault.amount
    else:
        draft.temps[inside[:1]] = POWER_ON_C
        draft.is_kept[inside[:1]] = True
