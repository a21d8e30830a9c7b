"""The air of an invented kitchen's places, from a simple model of heat.

Two bodies stand for each place: its air, and what it holds (food, shelves, walls).
Air goes towards the contents, the room and, while the machine runs, the machine's cold
(or hot) plate, each at its own pace; an open door is a short way to the room. Within a
step the contents stand still and the air follows exactly. All constants are our choice:
of the usual order, no source. They were set by the look of the air alone, before any
alarm was counted.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STEP_MIN = 0.5
# A cube of 1 litre in fridge air on every face, as `lidclock.templog.food` reckons:
# 3.8e6 J/m³K * 0.1 m / (6 * 10 W/m²K) = 6,333 s.
TUB_MIN = 6333 / 60


@dataclass(frozen=True, slots=True)
class Body:
    """How a place behaves; each `..._min` is a time constant in minutes.

    `plate_c` is the evaporator of a fridge or the heater of a hot hold. The thermostat
    feels the air late and switches `band_c` either side of `set_c`. Every `defrost_h`
    hours the machine rests for `defrost_min` and a heater warms the air.
    """

    set_c: float
    plate_c: float
    band_c: float = 0.7
    plate_min: float = 13.0
    walls_min: float = 30.0
    air_min: float = 4.0
    contents_min: float = 150.0
    door_min: float = 3.0
    thermostat_min: float = 3.0
    defrost_h: float = 0.0
    defrost_min: float = 20.0
    defrost_c_per_min: float = 0.0


BODIES = {
    "Walk-in": Body(2.2, -8, walls_min=40, contents_min=240, door_min=8),
    "Prep fridge": Body(2.5, -10),
    "Milk fridge": Body(2.8, -9),
    "Drinks fridge": Body(3.2, -10),
    "Freezer": Body(
        *(-22.0, -34),
        plate_min=6,
        walls_min=35,
        contents_min=200,
        defrost_h=8,
        defrost_c_per_min=1.0,
    ),
    "Hot hold": Body(
        *(74.0, 140),
        band_c=1.5,
        plate_min=30,
        walls_min=60,
        air_min=10,
        contents_min=40,
        door_min=25,
    ),
}


@dataclass(slots=True)
class Driven:
    """What acts on a place in each step: a door, the machine's strength, and more.

    `door` is how far it stands open (1 wide), `power` the share of the machine that
    works, `shift_c` moves the thermostat, `heat` is warmth put in  [°C/min].
    """

    door: Floats
    power: Floats
    shift_c: Floats
    heat: Floats

    @classmethod
    def quiet(cls, steps: int) -> Driven:
        """Nothing happens: the door is shut, the machine works."""
        return cls(np.zeros(steps), np.ones(steps), np.zeros(steps), np.zeros(steps))


def room(minutes: Floats, open_share: Floats) -> Floats:
    """The kitchen: 19 °C by night, warmer while people cook."""
    day = np.sin((minutes / 1440 - 0.375) * 2 * math.pi)
    return 19.5 + 1.0 * day + 2.5 * smoothed(open_share, 60)


def smoothed(values: Floats, lag_min: float, start: float | None = None) -> Floats:
    """What follows `values` with a time constant, as a probe or a tub of food does."""
    keep = math.exp(-STEP_MIN / lag_min)
    found = np.empty(values.size)
    now = float(values[0]) if start is None else start
    for number, value in enumerate(values.tolist()):
        now = value + (now - value) * keep
        found[number] = now
    return found


def air_of(body: Body, around: Floats, acts: Driven) -> Floats:
    """The air of a place in every step  [°C]."""
    is_hot = body.plate_c > body.set_c
    side = -1.0 if is_hot else 1.0
    air = contents = felt = body.set_c
    is_on = False
    feel = 1 - math.exp(-STEP_MIN / body.thermostat_min)
    hold = 1 - math.exp(-STEP_MIN / body.contents_min)
    found = np.empty(around.size)
    rows = zip(
        *(x.tolist() for x in (around, acts.door, acts.power, acts.shift_c, acts.heat)),
        _defrosts(body, around.size),
        strict=True,
    )
    for number, (outside, door, power, shift, heat, defrosts) in enumerate(rows):
        off = side * (felt - body.set_c - shift)
        is_on = off > body.band_c or (is_on and off > -body.band_c)
        works = power if is_on and not defrosts else 0.0
        to_room = 1 / body.walls_min + door / body.door_min
        to_plate = works / body.plate_min
        rate = to_room + to_plate + 1 / body.air_min
        warmed = heat + (body.defrost_c_per_min if defrosts and power else 0.0)
        goal = (
            outside * to_room
            + body.plate_c * to_plate
            + contents / body.air_min
            + warmed
        ) / rate
        air = goal + (air - goal) * math.exp(-rate * STEP_MIN)
        contents += (air - contents) * hold
        felt += (air - felt) * feel
        found[number] = air
    return found


def _defrosts(body: Body, steps: int) -> Iterable[bool]:
    if not body.defrost_h:
        return [False] * steps
    minutes = np.arange(steps) * STEP_MIN
    since: NDArray[np.bool_] = minutes % (body.defrost_h * 60) >= (
        body.defrost_h * 60 - body.defrost_min
    )
    return since.tolist()


def openings(
    random: np.random.Generator, is_open: Callable[[float], bool], days: int, rate: Rate
) -> Floats:
    """The share of each step in which people had the door open on an ordinary day."""
    door = np.zeros(round(days * 1440 / STEP_MIN))
    count = random.poisson(rate.per_hour * 24 * days)
    starts = random.uniform(0, days * 1440, count)
    lengths = np.clip(
        random.lognormal(math.log(rate.typical_s), 0.6, count), 4, rate.longest_s
    )
    for start, length_s in zip(starts.tolist(), lengths.tolist(), strict=True):
        if is_open(start):
            first, left = int(start / STEP_MIN), length_s / 60 / STEP_MIN
            while left > 0 and first < door.size:
                door[first] = min(1.0, door[first] + min(left, 1.0))
                first, left = first + 1, left - 1
    return door


@dataclass(frozen=True, slots=True)
class Rate:
    """How often a door is opened while the kitchen is open, and for how long."""

    per_hour: float
    typical_s: float
    longest_s: float = 120.0


RATES = {
    "Walk-in": Rate(6, 40),
    "Prep fridge": Rate(14, 18),
    "Milk fridge": Rate(4, 15),
    "Drinks fridge": Rate(5, 12),
    "Freezer": Rate(2, 25),
    "Hot hold": Rate(12, 40),
}
