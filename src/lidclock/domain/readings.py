"""Readings of temperature: who measures, where, how far off, and what looks wrong."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from lidclock.domain.sentences import Figure, sentence
from lidclock.errors import InputError

METHODS = ("ice-point", "boiling-point", "other")
NOWHERE = ""
# What common digital sensors say without having measured: after power-on, unplugged.
# (From memory, unverified.)
POWER_ON_C, UNPLUGGED_C = 85.0, -127.0
# Beyond these a reading is asked about before it is kept: who typed °F for °C, or the
# reverse, lands there. Our choice; a place that fails comes this far in hours at best.
USUAL_C = {
    "fridge": (-5.0, 25.0),
    "freezer": (-45.0, 25.0),
    "counter": (0.0, 45.0),
    "hot": (30.0, 100.0),
}
# What a freezer reads, its minus forgotten. Our choice: one that stood still for a day
# reads so too, and then it is said once more.
NO_SIGN_C = (14.0, 25.0)
# As far as the scales of common thermometers reach; also what can be typed.
COLDEST_C, HOTTEST_C = -100.0, 200.0
_DIGITS = 4
_TYPED = re.compile(r"([-−+]?[0-9]+(?:[.,][0-9]+)?)\s*°?\s*([cf])", re.I)


@dataclass(frozen=True, slots=True)
class Sensor:
    """Something that measures a place: a probe, or a person who types what it says.

    `interval_s` is how often a reading is expected, None while nobody has said; its
    pace is then taken from the readings themselves. `is_typed` marks the readings that
    people type for a place. `check_every_s` is how long a check in ice counts, None for
    the usual time.
    """

    id: str
    name: str
    interval_s: float | None = None
    note: str = ""
    is_typed: bool = False
    check_every_s: float | None = None

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise ValueError("a sensor needs a name")
        if self.interval_s is not None and not (
            math.isfinite(self.interval_s) and self.interval_s > 0
        ):
            raise ValueError(f"an interval must be above 0 s, not {self.interval_s}")


@dataclass(frozen=True, slots=True)
class Assignment:
    """A sensor measures `place` from `since` on; NOWHERE if it was taken away.

    A later assignment ends the one before; none is ever rewritten.
    """

    sensor_id: str
    since: datetime
    place: str

    def __post_init__(self) -> None:
        _need_zone(self.since)


@dataclass(frozen=True, slots=True)
class Spell:
    """An unbroken time of one sensor in one place; `ended=None` while it lasts."""

    sensor_id: str
    place: str
    began: datetime
    ended: datetime | None = None


@dataclass(frozen=True, slots=True)
class Offset:
    """Added to what a sensor says from `since` on; raw values stay as they were read.

    `measured_c` is what it said at the fixed point of `method`.
    """

    sensor_id: str
    since: datetime
    offset_c: float
    method: str = "other"
    measured_c: float | None = None

    def __post_init__(self) -> None:
        _need_zone(self.since)
        if self.method not in METHODS:
            raise ValueError(f"a method is one of {METHODS}, not {self.method!r}")
        if not math.isfinite(self.offset_c):
            raise ValueError(f"an offset must be a number, not {self.offset_c}")


@dataclass(frozen=True, slots=True)
class Reading:
    """One temperature at one instant, as it was read."""

    at: datetime
    temp_c: float

    def __post_init__(self) -> None:
        _need_zone(self.at)
        if not math.isfinite(self.temp_c):
            raise ValueError(f"a reading must be a number, not {self.temp_c}")


def _need_zone(moment: datetime) -> None:
    if moment.tzinfo is None:
        raise ValueError(f"{moment} has no time zone")


def spells(assignments: Iterable[Assignment]) -> list[Spell]:
    """Where each sensor was, and from when to when; without the times nowhere.

    Of two assignments of one sensor at one instant the one given later holds.
    """
    by_sensor: dict[str, dict[datetime, str]] = {}
    for one in assignments:
        by_sensor.setdefault(one.sensor_id, {})[one.since] = one.place
    found = []
    for sensor_id, places in by_sensor.items():
        begins = sorted(places)
        for began, ended in zip(begins, [*begins[1:], None], strict=True):
            if places[began] != NOWHERE:
                found.append(Spell(sensor_id, places[began], began, ended))
    return sorted(found, key=lambda spell: (spell.began, spell.sensor_id))


def place_at(assignments: Iterable[Assignment], at: datetime) -> str:
    """Where the sensor of these assignments was at an instant; NOWHERE if unknown."""
    before = [one for one in assignments if one.since <= at]
    return max(before, key=lambda one: one.since).place if before else NOWHERE


def points_apart(offsets: Iterable[Offset], zone: ZoneInfo) -> float | None:
    """How far ice and boiling water lie apart on the last local day that has both.

    Of several checks in one bath on one day the last counts. None where no day has
    both: one point alone says nothing of the other end of the scale.
    """
    days: dict[date, dict[str, float]] = {}
    for one in sorted(offsets, key=lambda offset: offset.since):
        if one.method != "other":
            day = one.since.astimezone(zone).date()
            days.setdefault(day, {})[one.method] = one.offset_c
    both = [points for _, points in sorted(days.items()) if len(points) > 1]
    if not both:
        return None
    ice_c, boiling_c = both[-1]["ice-point"], both[-1]["boiling-point"]
    return round(abs(ice_c - boiling_c), _DIGITS)


def offset_of(measured_c: float, true_c: float) -> float:
    """What to add where a sensor says `measured_c` and should say `true_c`."""
    return round(true_c - measured_c, _DIGITS)


def doubt_about(temp_c: float, state: str) -> str:
    """Why a typed reading looks like a slip or a fault; empty if it looks like none.

    A degree given in the wrong scale is named with what it would be in the other.
    """
    if temp_c == POWER_ON_C and state != "hot":
        return sentence(
            "85 °C is what a common sensor says when it was just switched on"
        )
    low, high = USUAL_C[state]
    if state == "freezer" and NO_SIGN_C[0] <= temp_c <= NO_SIGN_C[1]:
        return sentence(
            "{what}; was {meant} °C meant?",
            what=_unusual(say_temp(temp_c), state),
            meant=Figure(f"{-temp_c:g}"),
        )
    if low <= temp_c <= high:
        return ""
    from_f, as_f = (temp_c - 32) / 1.8, temp_c * 1.8 + 32
    what = _unusual(say_temp(temp_c), state)
    if low <= from_f <= high:
        return sentence(
            "{what}; {typed} °F would be {meant} °C",
            what=what,
            typed=Figure(f"{temp_c:g}"),
            meant=Figure(f"{from_f:.1f}"),
        )
    if low <= as_f <= high:
        other = Figure(f"{as_f:.1f}")
        return sentence(
            "{what}; it is {other} °F, was {other} °C meant?", what=what, other=other
        )
    return what


def _unusual(temp: str, state: str) -> str:
    if state == "fridge":
        return sentence("{temp} is unusual for a fridge", temp=temp)
    if state == "freezer":
        return sentence("{temp} is unusual for a freezer", temp=temp)
    if state == "counter":
        return sentence("{temp} is unusual for a counter", temp=temp)
    return sentence("{temp} is unusual for a hot hold", temp=temp)


def refuse_outside(temp_c: float, typed: str = "") -> None:
    """InputError for what no food and no place is; also where it is no number."""
    if not COLDEST_C <= temp_c <= HOTTEST_C:
        raise InputError(
            sentence(
                "{temp} lies outside {low} to {high} °C; check it",
                temp=typed or sentence("{temp} °C", temp=Figure(f"{temp_c:g}")),
                low=Figure(f"{COLDEST_C:g}"),
                high=Figure(f"{HOTTEST_C:g}"),
            )
        )


def say_temp(temp_c: float, units: str = "metric") -> str:
    """`6.5 °C`, as exact as it was read; in US units `43.7 °F`, to a tenth."""
    if units == "us":
        return sentence("{temp} °F", temp=_plain(round(temp_c * 1.8 + 32, 1)))
    return sentence("{temp} °C", temp=_plain(round(temp_c, _DIGITS)))


def say_about(temp_c: float, units: str) -> str:
    """A computed temperature, to a tenth of what it is said in."""
    return say_temp(temp_c if units == "us" else round(temp_c, 1), units)


def _plain(number: float) -> Figure:
    """The digits there are, no more: 6.4375, 7, 0 (never -0)."""
    return Figure(f"{number + 0.0:.{_DIGITS}f}".rstrip("0").rstrip("."))


def read_temp(text: str) -> float:
    """Degrees Celsius of `6.5C`, `41F` or `5 °C`."""
    match = _TYPED.fullmatch(text.strip())
    if match is None:
        raise InputError(
            sentence(
                "{text} is not a temperature; write it like 4C or 40F", text=repr(text)
            )
        )
    degrees = float(match[1].replace(",", ".").replace("−", "-"))
    if match[2].lower() == "f":
        degrees = round((degrees - 32) / 1.8, 2)
    refuse_outside(degrees, repr(text))
    return degrees
