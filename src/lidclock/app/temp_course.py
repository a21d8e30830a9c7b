"""From what is stored to the course of a place: sensors over time, put right."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta

from lidclock.app.session import Unit
from lidclock.app.temp_limits import limit_of
from lidclock.domain.history import Stay
from lidclock.domain.kitchens import Place
from lidclock.domain.readings import Offset, Reading, Sensor, Spell, spells
from lidclock.store.readings import ReadingStore
from lidclock.store.sensors import Sensors
from lidclock.templog.course import Course, course_of, filled_by, worst_of
from lidclock.templog.food import LAG_S
from lidclock.templog.gaps import Pace, pace_of, silence_of, steadied
from lidclock.templog.places import Member, PlaceCourse
from lidclock.templog.series import Series, instant, micros, moment, seconds

# Loaded before a window: for lines that lead into it, food that still lags, and a
# sensor's pace. Our choice: many times the lag, and some readings of a slow sensor.
LEAD = timedelta(days=2)
_DAY = timedelta(days=1)
ALWAYS = datetime(9999, 1, 1, tzinfo=UTC)


class Thermometers:
    """The sensors and readings of one kitchen, read once within a unit of work."""

    def __init__(self, unit: Unit) -> None:
        kitchen_id = unit.session.kitchen.id
        self.unit = unit
        self.sensors = Sensors(unit.connection, kitchen_id)
        self.readings = ReadingStore(unit.connection, kitchen_id)
        self.known = {one.id: one for one in self.sensors.all()}
        self.spells = spells(self.sensors.assignments())
        self.offsets: dict[str, list[Offset]] = {}
        for one in self.sensors.offsets():
            self.offsets.setdefault(one.sensor_id, []).append(one)
        self.lags = self.sensors.lags()

    def place_course(
        self, place: Place, began: datetime, ended: datetime
    ) -> PlaceCourse:
        """The course of a place from LEAD before `began` up to `ended` at the latest.

        Nothing after the session's present is used: a reading does not hold into the
        future.
        """
        limit = limit_of(place, self.unit.session.guidance)
        ended = min(ended, self.unit.session.now)
        members = [
            self.member(spell, began - LEAD, ended)
            for spell in self.spells
            if spell.place.casefold() == place.name.casefold() and spell.began <= ended
        ]
        return PlaceCourse(
            place,
            limit,
            self.lags.get(place.name.casefold(), LAG_S),
            tuple(members),
            _together(members, is_floor=limit is not None and limit.is_floor),
        )

    def whole_course(
        self, place: Place, began: datetime
    ) -> tuple[Course, datetime | None]:
        """All that a place did from before `began` on, and from when on it is silent.

        It begins with each sensor's last reading before then, however old. Nothing in
        it depends on the present, or on how much was asked for, so that what is worked
        out from it can be stored.
        """
        limit = limit_of(place, self.unit.session.guidance)
        members = [
            self._whole(spell, began)
            for spell in self.spells
            if spell.place.casefold() == place.name.casefold()
        ]
        course = _together(members, is_floor=limit is not None and limit.is_floor)
        quiet_s = max((one.quiet_from for one in members), default=None)
        return course, None if quiet_s is None else moment(quiet_s)

    def _whole(self, spell: Spell, began: datetime) -> Member:
        start = began - LEAD
        earlier = self.readings.last_begun(spell.sensor_id, micros(start))
        if earlier is not None:
            start = instant(earlier)
        pace = self.pace(spell.sensor_id)
        return self.member(spell, start, spell.ended or ALWAYS, pace)

    def pace(self, sensor_id: str) -> Pace:
        """How often a sensor speaks, by the time before its last reading."""
        sensor = self.known[sensor_id]
        latest = Series.from_micros([], [])
        extent = self.readings.extent(sensor_id)
        if extent is not None and sensor.interval_s is None:
            last = instant(extent.last_us)
            latest = self.series(sensor, last - LEAD, last)
        return steadied(pace_of(latest, sensor.interval_s, is_typed=sensor.is_typed))

    def member(
        self,
        spell: Spell,
        began: datetime,
        ended: datetime,
        pace: Pace | None = None,
    ) -> Member:
        """What one sensor said in one place from `began` up to `ended`."""
        sensor = self.known[spell.sensor_id]
        whole = self.series(sensor, began, ended)
        if pace is None:
            pace = pace_of(whole, sensor.interval_s, is_typed=sensor.is_typed)
        until = min(spell.ended or ended, ended)
        there = whole.between(seconds(spell.began), seconds(until))
        latest = self._latest(sensor, spell, there, until)
        silence = None
        # Nobody expects a hand to write down its first reading.
        if spell.ended is None and (latest is not None or not sensor.is_typed):
            silence = silence_of(latest.at if latest else spell.began, ended, pace)
        course = course_of(there, pace, until=seconds(until))
        return Member(sensor, spell, there, course, pace, latest, silence)

    def series(self, sensor: Sensor, began: datetime, ended: datetime) -> Series:
        """What a sensor said from `began` up to and including `ended`, put right."""
        found = self.readings.get(sensor.id, micros(began), micros(ended))
        raw = Series.from_micros(found.times_us, found.temps_c)
        return raw.put_right(self.offsets.get(sensor.id, []))

    def _latest(
        self, sensor: Sensor, spell: Spell, there: Series, until: datetime
    ) -> Reading | None:
        """The last reading of a spell, looked for beyond the window if need be."""
        if not len(there):
            extent = self.readings.extent(sensor.id)
            if extent is None:
                return None
            last = min(instant(extent.last_us), until)
            there = self.series(sensor, max(spell.began, last - _DAY), last)
        if not len(there):
            there = self.series(sensor, spell.began, until)
        if not len(there):
            return None
        return Reading(moment(there.times[-1]), float(there.temps[-1]))


def _together(members: Sequence[Member], *, is_floor: bool) -> Course:
    """The worst of the probes; what people typed fills the times without any."""
    probes = [one for one in members if not one.sensor.is_typed]
    typed = [one.course for one in members if one.sensor.is_typed]
    hands = worst_of(typed, is_floor=is_floor)
    if not probes:
        return hands
    return filled_by(
        worst_of([one.course for one in probes], is_floor=is_floor),
        hands,
        quiet_from=max(one.quiet_from for one in probes),
        is_floor=is_floor,
    )


def place_course(
    unit: Unit, place: Place, began: datetime, ended: datetime
) -> PlaceCourse:
    """What a place did in a window; an empty course where nobody measured.

    For several places make one `Thermometers` and ask it for each.
    """
    return Thermometers(unit).place_course(place, began, ended)


def measured_places(unit: Unit, places: Sequence[Place]) -> list[Place]:
    """The places that some sensor measures or measured; cheap where there is none."""
    sensors = Sensors(unit.connection, unit.session.kitchen.id)
    names = {one.place.casefold() for one in sensors.assignments()}
    return [one for one in places if one.name.casefold() in names]


CourseOf = Callable[[Stay], Course | None]


def courses_in(unit: Unit) -> CourseOf:
    """Gives the course of a stay's place, or None where nobody ever measured it."""
    places = {place.name.casefold(): place for place in unit.session.places}
    measured = {one.name for one in measured_places(unit, unit.session.places)}
    thermometers: list[Thermometers] = []

    def find(stay: Stay) -> Course | None:
        place = places.get(stay.place.casefold())
        if place is None or place.name not in measured:
            return None
        if not thermometers:
            thermometers.append(Thermometers(unit))
        ended = stay.ended or unit.session.now
        course = thermometers[0].place_course(place, stay.began, ended).course
        return course if len(course) else None

    return find
