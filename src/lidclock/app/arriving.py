"""A batch of readings that arrived: whose they are, what is wrong with them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from lidclock.app.sensor_topics import TopicOf, listed_topics
from lidclock.app.sensors import sensors_of
from lidclock.app.session import Unit
from lidclock.app.temps import CLOCK_DRIFT, keep_readings
from lidclock.domain.readings import Sensor, say_temp
from lidclock.errors import ReadingError
from lidclock.gateways.arrivals import Arrival
from lidclock.store.readings import ReadingStore
from lidclock.templog.live import JUMP_WITHIN_US, fault_of
from lidclock.templog.series import instant, micros

# Microseconds since 1970 in UTC, and °C.
Timed = list[tuple[int, float]]


@dataclass(slots=True)
class Counts:
    """How many readings came; each of them was kept, known, or refused."""

    received: int = 0
    kept: int = 0
    known: int = 0
    refused: int = 0

    def add(self, more: Counts) -> None:
        """Count those of a batch."""
        self.received += more.received
        self.kept += more.kept
        self.known += more.known
        self.refused += more.refused


class Directory:
    """Whose a word is: a topic, or over HTTP a sensor's name or id as well."""

    def __init__(self, unit: Unit) -> None:
        self.topics = {one.topic: one for one in listed_topics(unit)}
        self._sensors = sensors_of(unit).all()

    def of_topic(self, topic: str) -> TopicOf:
        """The sensor of a topic; ReadingError if nobody said whose it is."""
        found = self.topics.get(topic)
        if found is None:
            raise ReadingError(
                f"{topic}: no sensor is known for it, so nothing of it is kept; "
                f'say `lidclock temp sensor topic SENSOR "{topic}"`',
                "no-sensor",
            )
        return found

    def of_name(self, name: str) -> Sensor:
        """The sensor that calls itself so; ReadingError if there is none."""
        wanted = name.casefold()
        for sensor in self._sensors:
            if wanted in (sensor.name.casefold(), sensor.id):
                if sensor.is_typed:
                    raise ReadingError(
                        f"{name}: this name is of what people type", "no-sensor"
                    )
                return sensor
        if name in self.topics:
            return self.topics[name].sensor
        raise ReadingError(
            f"{name}: no sensor is known by that name; say `lidclock temp sensor add "
            f'"{name}" --place PLACE`',
            "no-sensor",
        )


@dataclass(slots=True)
class Batch:
    """What came together: readings by sensor, what was wrong, how many."""

    unit: Unit
    counts: Counts = field(default_factory=Counts)
    faults: list[tuple[str, str, str]] = field(default_factory=list)
    sensors: dict[str, Sensor] = field(default_factory=dict)
    readings: dict[str, Timed] = field(default_factory=dict)
    untimed: set[tuple[str, int]] = field(default_factory=set)
    clashes: dict[tuple[str, datetime, float], str] = field(default_factory=dict)

    def refuse(self, who: str, error: ReadingError) -> str:
        """Count a reading that is none; why."""
        self.counts.refused += 1
        self.faults.append((who, error.kind, str(error)))
        return str(error)

    def take(
        self, sensor: Sensor, found: Arrival, received_at: datetime | None = None
    ) -> None:
        """Take a reading in; ReadingError if it cannot be true.

        One whose time is only that of its arrival gives way to another of that time.
        """
        at_us = micros(found.at)
        latest_us = micros(self.unit.session.now + CLOCK_DRIFT)
        fault = fault_of(
            *(found.temp_c, at_us, latest_us), lambda: self._before(sensor, at_us)
        )
        if fault is not None:
            raise ReadingError(f"{sensor.name}: {fault.words}; not kept", fault.kind)
        self.sensors[sensor.id] = sensor
        if found.at == received_at:
            self.untimed.add((sensor.id, at_us))
        self.readings.setdefault(sensor.id, []).append((at_us, found.temp_c))

    def _before(self, sensor: Sensor, at_us: int) -> float | None:
        """What the sensor said before an instant, in this batch or in the store."""
        first_us = at_us - JUMP_WITHIN_US
        here = [
            one
            for one in self.readings.get(sensor.id, [])
            if first_us <= one[0] < at_us
        ]
        store = ReadingStore(self.unit.connection, self.unit.session.kitchen.id)
        found = store.get(sensor.id, first_us, at_us - 1)
        if found.times_us.size:
            here.append((int(found.times_us[-1]), float(found.temps_c[-1])))
        return max(here)[1] if here else None

    def store(self) -> None:
        """Keep what was taken in; what is known, or clashes, is counted and told."""
        for sensor_id, readings in self.readings.items():
            waiting = readings
            while waiting:
                waiting = self._keep(self.sensors[sensor_id], waiting)

    def _keep(self, sensor: Sensor, readings: Timed) -> Timed:
        """Keep readings of a sensor; those to be kept at the next instant instead."""
        times_us, temps_c = zip(*readings, strict=True)
        added = keep_readings(self.unit, sensor, times_us, temps_c).added
        self.counts.kept += added.new
        self.counts.known += added.known
        if added.known:
            again = f"{sensor.name}: a reading came again; it is kept once"
            self.faults.append((sensor.name, "known", again))
        later = []
        for clash in added.clashes:
            if (sensor.id, clash.at_us) in self.untimed:
                # Our clock stepped back onto an instant that it had told before.
                self.untimed.add((sensor.id, clash.at_us + 1))
                later.append((clash.at_us + 1, clash.other_c))
                continue
            kept, other = say_temp(clash.kept_c), say_temp(clash.other_c)
            words = f"{sensor.name}: {kept} is recorded for the moment of {other}"
            self.clashes[sensor.id, instant(clash.at_us), clash.other_c] = words
            self.refuse(sensor.name, ReadingError(words, "clash"))
        return later

    def clash_of(self, sensor: Sensor, found: Arrival) -> str:
        """Why a reading that was taken in was not kept after all, or nothing."""
        return self.clashes.get((sensor.id, found.at, found.temp_c), "")
