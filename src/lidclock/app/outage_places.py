"""What is known of each fridge and freezer while it had no power."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from lidclock.app.session import Unit
from lidclock.domain.kitchens import Place
from lidclock.guidance.outage_chart import FRIDGE, Cited, Hold, Row, load_charts
from lidclock.heat.outage import (
    FREEZER_START_C,
    FRIDGE_START_C,
    STEW,
    UA_NEW_W_K,
    UA_OLD_W_K,
    hours_band,
)

if TYPE_CHECKING:
    from lidclock.app.temp_course import Thermometers
    from lidclock.guidance.outage_readings import Seen
    from lidclock.templog.limits import PlaceLimit
    from lidclock.templog.outage import OutageReadings

COLD = ("fridge", "freezer")


@dataclass(frozen=True, slots=True)
class Load:
    """How much recorded food stood in a place, and how many were never weighed."""

    mass_kg: float = 0.0
    unweighed: int = 0

    @property
    def is_any(self) -> bool:
        """Whether anything is recorded there."""
        return self.mass_kg > 0 or self.unweighed > 0


@dataclass(frozen=True, slots=True)
class Model:
    """When a place may have come to `to_c` by an estimate; it can only warn earlier.

    From `from_c`, a reading just before (`is_read`) or an assumption. `early_h` is of a
    cabinet that lets in much heat, `late_h` of one that lets in little.
    """

    to_c: float
    from_c: float
    is_read: bool
    load: Load
    room_c: float
    early_h: float
    late_h: float
    ua_w_k: tuple[float, float] = (UA_NEW_W_K, UA_OLD_W_K)


@dataclass(frozen=True, slots=True, eq=False)
class PlaceOut:
    """One place without power: its readings, what somebody said of it, and the chart.

    `readings` is None where no sensor ever measured it. `row` bears the chart's
    temperature, `limit` is the place's own. `hold_ends` is when a shut door no longer
    holds its cold. `model` is None where it was measured.
    """

    place: Place
    row: Row
    hold: Hold
    hold_ends: datetime
    limit: PlaceLimit | None
    readings: OutageReadings | None = None
    end_c: float | None = None
    found: str | None = None
    model: Model | None = None

    @property
    def is_measured(self) -> bool:
        """Whether anybody measured it after the power went."""
        if self.end_c is not None:
            return True
        return self.readings is not None and self.readings.count > 0

    @property
    def seen(self) -> Seen | None:
        """What its readings come to against the chart's temperature."""
        return self.readings.seen(self.row.limit_c) if self.readings else None

    @property
    def own_seen(self) -> Seen | None:
        """The same against its own limit, where that is another."""
        if self.readings is None or self.limit is None:
            return None
        is_same = abs(self.limit.limit_c - self.row.limit_c) < 0.01
        return None if is_same else self.readings.seen(self.limit.limit_c)

    @property
    def cited(self) -> Cited:
        """Where the chart's temperature stands."""
        return self.row.cited

    @property
    def is_warned(self) -> bool:
        """Whether the estimate comes to less than a shut door is said to hold."""
        return self.model is not None and self.model.early_h < self.hold.hours


@dataclass(frozen=True, slots=True)
class Circumstances:
    """The power cut itself, and what people said of places, by their names."""

    began: datetime
    ended: datetime
    is_full: bool
    room_c: float
    fridge_c: Mapping[str, float]
    found: Mapping[str, str]


def places_out(
    unit: Unit,
    places: list[Place],
    said: Circumstances,
    loads: Mapping[str, Load],
) -> dict[str, PlaceOut]:
    """What is known of each of these places, by name."""
    from lidclock.app.temp_course import measured_places

    read = _all_readings(unit, measured_places(unit, places), said)
    return {
        one.name: _place_out(
            unit, one, said, read.get(one.name), loads.get(one.name, Load())
        )
        for one in places
    }


def _all_readings(
    unit: Unit, places: list[Place], said: Circumstances
) -> dict[str, OutageReadings]:
    if not places:
        return {}
    from lidclock.app.temp_course import Thermometers

    thermometers = Thermometers(unit)
    return {one.name: _readings(thermometers, one, said) for one in places}


def _readings(
    thermometers: Thermometers, place: Place, said: Circumstances
) -> OutageReadings:
    """The readings of every sensor there, and the one somebody gave for the end."""
    import numpy as np

    from lidclock.app.temp_course import LEAD
    from lidclock.templog.outage import OutageReadings, framed
    from lidclock.templog.series import Series, seconds

    began, ended = seconds(said.began), seconds(said.ended)
    course = thermometers.place_course(place, said.began, said.ended + LEAD)
    series = [
        framed(one.series, began, ended, one.pace.longest_s) for one in course.members
    ]
    end_c = said.fridge_c.get(place.name)
    if end_c is not None:
        series.append(Series(np.array([ended]), np.array([end_c])))
    return OutageReadings(began, ended, tuple(one for one in series if len(one)))


def _place_out(
    unit: Unit,
    place: Place,
    said: Circumstances,
    readings: OutageReadings | None,
    load: Load,
) -> PlaceOut:
    from lidclock.app.temp_limits import limit_of

    charts = load_charts()
    size = "full" if said.is_full else "half"
    is_fridge = place.state == "fridge"
    hold = charts.holds[FRIDGE if is_fridge else f"freezer-{size}"]
    row = next(iter(charts.no_row[place.state].rows.values()))
    found = PlaceOut(
        place,
        row,
        hold,
        said.began + timedelta(hours=hold.hours),
        limit_of(place, unit.session.guidance),
        readings,
        said.fridge_c.get(place.name),
        said.found.get(place.name),
    )
    if found.is_measured or found.found:
        return found
    model = _model(row.limit_c if is_fridge else STEW.freezing_c, found, said, load)
    return replace(found, model=model)


def _model(to_c: float, found: PlaceOut, said: Circumstances, load: Load) -> Model:
    """From the last reading before, else from what such a place is assumed to be at."""
    usual = FRIDGE_START_C if found.place.state == "fridge" else FREEZER_START_C
    before = found.readings.peak_c if found.readings else None
    from_c = usual if before is None else before
    early_h, late_h = hours_band(to_c, from_c, load.mass_kg, said.room_c)
    return Model(to_c, from_c, before is not None, load, said.room_c, early_h, late_h)
