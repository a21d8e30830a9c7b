"""What each place did, and which needs somebody now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from lidclock.app.session import Session, Unit
from lidclock.store.sensors import Sensors

if TYPE_CHECKING:
    from lidclock.alerts.temperature import TemperatureAlert
    from lidclock.domain.kitchens import Place
    from lidclock.templog.excursions import Excursion
    from lidclock.templog.gaps import Gap
    from lidclock.templog.places import Apart, PlaceCourse
    from lidclock.templog.stats import Stats

# How far back an alert looks for the beginning of what goes on now. Our choice.
LOOK_BACK = timedelta(days=7)
DEFAULT_SINCE = timedelta(days=7)


@dataclass(frozen=True, slots=True, eq=False)
class PlaceReport:
    """One place from `since` to `until`: figures, excursions, gaps, what disagreed.

    `stats` is None where nobody measured for any length of that time; `has_readings`
    tells whether there was a reading at all.
    """

    found: PlaceCourse
    since: datetime
    until: datetime
    stats: Stats | None
    has_readings: bool
    excursions: tuple[Excursion, ...] = ()
    spikes: tuple[Excursion, ...] = ()
    gaps: tuple[Gap, ...] = ()
    disagreements: tuple[Apart, ...] = ()

    @property
    def place(self) -> Place:
        """The place."""
        return self.found.place

    @property
    def current(self) -> Excursion | None:
        """The excursion or spike that goes on now."""
        if not self.found.is_heard:
            return None
        both = (*self.excursions, *self.spikes)
        return next((one for one in both if one.is_open), None)


def report(
    session: Session, place: str, within: timedelta = DEFAULT_SINCE
) -> PlaceReport:
    """What one place did in the last `within`."""
    where = session.place(place)
    with session.read() as unit:
        return reports(unit, [where], within)[0]


def report_all(
    session: Session, within: timedelta = DEFAULT_SINCE
) -> list[PlaceReport]:
    """What every place did in the last `within`, also those nobody measures."""
    with session.read() as unit:
        return reports(unit, session.places, within)


def reports(
    unit: Unit,
    places: list[Place],
    within: timedelta,
    until: datetime | None = None,
) -> list[PlaceReport]:
    """What these places did in the time `within` up to `until`, or up to now."""
    from lidclock.app.temp_course import Thermometers

    thermometers = Thermometers(unit)
    until = until or unit.session.now
    since = until - within
    return [
        _report(thermometers.place_course(one, since, until), since, until)
        for one in places
    ]


def _report(found: PlaceCourse, since: datetime, until: datetime) -> PlaceReport:
    from lidclock.templog.gaps import gaps_of
    from lidclock.templog.series import seconds
    from lidclock.templog.stats import stats_of

    window = found.course.clip(seconds(since), seconds(until))
    limit = found.limit
    beyond = found.excursions(since)
    return PlaceReport(
        found,
        since,
        until,
        stats_of(
            window,
            limit.limit_c if limit else None,
            is_floor=limit.is_floor if limit else False,
        ),
        len(window) > 0,
        tuple(one for one in beyond if not one.is_spike),
        tuple(one for one in beyond if one.is_spike),
        tuple(one for one in gaps_of(found.course) if one.ended > since),
        tuple(found.disagreements(since)),
    )


def temperature_alerts(session: Session) -> list[TemperatureAlert]:
    """Places that are beyond their limits, silent or doubtful now, most urgent first.

    Spikes that go on are among them, not pressing. Nothing heavy is imported where
    there is no sensor.
    """
    with session.read() as unit:
        if not Sensors(unit.connection, session.kitchen.id).any():
            return []
        from lidclock.alerts.temperature import in_order, pick
        from lidclock.app.temp_course import Thermometers

        thermometers, began = Thermometers(unit), session.now - LOOK_BACK
        return in_order(
            [
                alert
                for place in session.places
                for alert in pick(
                    thermometers.place_course(place, began, session.now), began
                )
            ]
        )
