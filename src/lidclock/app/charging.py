"""What places did, charged to the containers that were there."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property
from typing import TYPE_CHECKING

from lidclock.clock.probed import probed
from lidclock.domain.events import place_subject
from lidclock.domain.history import MELTING_C, History, Stay
from lidclock.store.sensors import Sensors

if TYPE_CHECKING:
    from lidclock.app.session import Session, Unit
    from lidclock.app.temp_course import Thermometers
    from lidclock.domain.kitchens import Place
    from lidclock.templog.charging import Record
    from lidclock.templog.gaps import Pace


ALWAYS_BEFORE = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(slots=True)
class _Noted:
    """Since when a sensor's readings are others, and how often it spoke before."""

    since: datetime
    changed: bool
    pace: Pace | None


class Charging:
    """The records of a kitchen's places within one unit of work, each made once.

    What reads and cuts them is imported only where some sensor ever measured.
    """

    def __init__(self, unit: Unit) -> None:
        self._unit = unit
        self._places = {one.name.casefold(): one for one in unit.session.places}
        self._records: dict[str, tuple[datetime, Record]] = {}
        self._noted: dict[str, _Noted] = {}

    @cached_property
    def _measured(self) -> frozenset[str]:
        """The places, casefolded, that some sensor measures or measured."""
        sensors = Sensors(self._unit.connection, self._unit.session.kitchen.id)
        return frozenset(one.place.casefold() for one in sensors.assignments())

    @cached_property
    def _thermometers(self) -> Thermometers:
        """The sensors as they stand, asked for once until what was noted is settled."""
        from lidclock.app.temp_course import Thermometers

        return Thermometers(self._unit)

    def measured(self, history: History) -> History:
        """The history with its stays as warm as places and the food itself measured."""
        return probed(self._read(history), self._unit.session.guidance.cold_c)

    def _read(self, history: History) -> History:
        """The history with its stays in pieces of the temperatures that were read."""
        if not any(self._is_read(stay) for stay in _stays(history)):
            return history
        from lidclock.templog.charging import measured

        self._load(history)
        return measured(history, self.find, self._unit.session.guidance.cold_c)

    def find(self, stay: Stay) -> Record | None:
        """What a stay's place did from before the stay on; None if nobody read it."""
        if not self._is_read(stay):
            return None
        key = stay.place.casefold()
        known = self._records.get(key)
        if known is None or known[0] > stay.began:
            known = (stay.began, self._record(self._places[key], stay.began))
            self._records[key] = known
        return known[1]

    def note(self, sensor_id: str, since: datetime, *, changed: bool = False) -> None:
        """Before it happens: a sensor's readings from `since` on will be others.

        Where they are only added, and its places were cold, nothing hangs on it;
        `changed` where something that counts now may count no more.
        """
        if sensor_id not in self._noted:
            self._noted[sensor_id] = _Noted(since, changed, self._pace(sensor_id))
        noted = self._noted[sensor_id]
        noted.since = min(since, noted.since)
        noted.changed |= changed

    def _pace(self, sensor_id: str) -> Pace | None:
        from lidclock.app.temp_course import Thermometers

        found = Thermometers(self._unit)
        return found.pace(sensor_id) if sensor_id in found.known else None

    def settle(self) -> None:
        """Judge again every container that what was noted may touch."""
        noted, self._noted = self._noted, {}
        if not noted:
            return
        from lidclock.app.temp_course import LEAD

        self._records.clear()
        for made_once in ("_measured", "_thermometers"):
            self.__dict__.pop(made_once, None)
        found = self._thermometers
        codes: set[str] = set()
        for sensor_id, one in noted.items():
            since, changed = one.since, one.changed
            if one.pace is not None and found.pace(sensor_id) != one.pace:
                # Another pace makes other gaps, all through what it ever said.
                since, changed = ALWAYS_BEFORE, True
            for key in {
                spell.place.casefold()
                for spell in found.spells
                if spell.sensor_id == sensor_id
                and (spell.ended is None or spell.ended >= since)
            }:
                if key in self._places and (changed or self._matters(key, since)):
                    # A line may come from a reading long before.
                    began = max(since, ALWAYS_BEFORE + LEAD) - LEAD
                    there = self._unit.snapshots.present([place_subject(key)], began)
                    codes |= set(there)
        if codes:
            self._unit.refresh(codes)

    def _matters(self, key: str, since: datetime) -> bool:
        """Whether anything hangs on what a place did from before `since` on."""
        session, place = self._unit.session, self._places[key]
        if not session.kitchen.accepts_unmeasured or place.state == "counter":
            return True
        rules, cold_c = session.guidance.rules, session.guidance.cold_c
        record = self._record(place, since)
        if place.state == "hot":
            hot_c = max((rule.below_c or 0.0 for rule in rules), default=0.0)
            return not record.is_within(hot_c, math.inf)
        if place.state == "freezer":
            return not record.is_within(-math.inf, MELTING_C)
        # Days known to be no warmer than some rules say are not used up under them.
        deep = [
            x.above_c for x in rules if x.above_c is not None and x.above_c < cold_c
        ]
        colder_c = math.nextafter(max(deep), math.inf) if deep else -math.inf
        return not record.is_within(colder_c, cold_c)

    def _is_read(self, stay: Stay) -> bool:
        key = stay.place.casefold()
        return stay.recorded and key in self._measured and key in self._places

    def _load(self, history: History) -> None:
        """Ask for the earliest stay in each place first, so that one record serves."""
        for stay in sorted(_stays(history), key=lambda one: one.began):
            self.find(stay)

    def _record(self, place: Place, began: datetime) -> Record:
        from lidclock.templog.charging import Record, limits_of

        guidance = self._unit.session.guidance
        course, quiet_from = self._thermometers.whole_course(place, began)
        limits = limits_of(guidance.rules, guidance.cold_c)
        return Record(course, limits, quiet_from)


def _stays(history: History) -> Iterable[Stay]:
    yield from history.stays
    for part in history.components:
        yield from _stays(part.history)


def silent_places(session: Session) -> frozenset[str]:
    """Places, casefolded, that somebody read once and nobody reads any more."""
    from lidclock.app.temp_course import Thermometers, measured_places

    with session.read() as unit:
        places = measured_places(unit, session.places)
        if not places:
            return frozenset()
        found = Thermometers(unit)
        quiet = [(x, found.whole_course(x, session.now)[1]) for x in places]
    return frozenset(
        place.name.casefold()
        for place, since in quiet
        if since is not None and since <= session.now
    )
