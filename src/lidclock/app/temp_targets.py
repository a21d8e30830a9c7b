"""Whose readings a file holds: which sensor, in which place, and whether that fits."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidclock.app.temp_source import Remembered
from lidclock.domain.readings import NOWHERE, Sensor, place_at, say_temp
from lidclock.errors import InputError, RefusedError
from lidclock.store.rows import instant
from lidclock.store.sensors import Sensors
from lidclock.templog.logger_csv.findings import quoted
from lidclock.templog.logger_csv.guess import Guess
from lidclock.templog.logger_csv.headings import named_column
from lidclock.templog.logger_csv.layout import Layout
from lidclock.templog.logger_csv.survey import Span

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.temp_import import Options

# Half the readings of a place lie here, as a rule; a slip of °F for °C lies outside.
# Our choice.
_TYPICAL_C = {
    "fridge": (-3.0, 15.0),
    "freezer": (-45.0, -5.0),
    "counter": (5.0, 40.0),
    "hot": (45.0, 100.0),
}
# Where the place is not known: as °C a hot day at best, as °F a fridge.
_SUSPECT_C = (30.0, 50.0)


@dataclass(frozen=True, slots=True)
class Target:
    """Where the readings of one span go; `place` is NOWHERE if nobody said.

    `sensor_id` is None for a sensor that is to be made. `moves` says that the sensor is
    to be put into the place from its first reading on.
    """

    span: Span
    sensor: str
    sensor_id: str | None
    place: str
    moves: bool
    reason: str


def sensor_key(span: Span) -> str:
    """What tells the sensors of one file apart."""
    return f"{span.column}|{span.name}"


@dataclass(frozen=True, slots=True)
class TargetFinder:
    """Finds the sensor of every span of a file."""

    session: Session
    found: Guess
    layout: Layout
    options: Options
    known: Remembered

    def targets(self, seen: Sequence[Span]) -> tuple[Target, ...]:
        """A target for each span.

        InputError if sensors or places are named that do not go with the spans.
        """
        self._check_count(seen, "--sensor", self.options.sensors)
        self._check_count(seen, "--place", self.options.places)
        chosen = tuple(self._target(place, seen) for place in range(len(seen)))
        names = [one.sensor.casefold() for one in chosen]
        if len(set(names)) < len(names):
            listed = ", ".join(self.say_source(span) for span in seen)
            raise InputError(
                f"{listed} cannot all be {chosen[0].sensor}: name each with --sensor"
            )
        return chosen

    def doubts(self, chosen: Sequence[Target]) -> tuple[str, ...]:
        """Where °C may have been °F, or the reverse; nothing if the unit was said."""
        if self.options.unit or self.known.unit:
            return ()
        found = []
        for one in chosen:
            unit = self.layout.temps[one.span.column].unit
            state = self.session.place(one.place).state if one.place else ""
            if doubt := unit_doubt(one.span, unit, state):
                found.append(f"{one.sensor}: {doubt}")
        return tuple(found)

    def say_source(self, span: Span) -> str:
        """`column 3 'Probe 1'`, with the name in the row where there is one."""
        index = self.layout.temps[span.column].index
        said = named_column(self.found.labels, index)
        return f"{said} of {quoted(span.name)}" if span.name else said

    def _check_count(
        self, seen: Sequence[Span], option: str, given: tuple[str, ...]
    ) -> None:
        if given and len(given) != len(seen):
            listed = ", ".join(self.say_source(span) for span in seen)
            raise InputError(
                f"{option} is given {len(given)} times for {len(seen)} sensors: give "
                f"it once for each, in the order of {listed}"
            )

    def _target(self, place: int, seen: Sequence[Span]) -> Target:
        span, where = seen[place], NOWHERE
        if self.options.places:
            where = self.session.place(self.options.places[place]).name
        with self.session.read() as unit:
            sensors = Sensors(unit.connection, self.session.kitchen.id)
            name, reason = self._name(place, seen, where, sensors)
            sensor = sensors.get(name)
            was = _place_of(sensors, sensor, span)
        if sensor is None:
            return Target(span, name, None, where, bool(where), reason)
        if sensor.is_typed:
            raise RefusedError(
                f"{sensor.name} holds what people type: name another with --sensor"
            )
        if where != NOWHERE and was not in (NOWHERE, where):
            raise RefusedError(
                f"{sensor.name} was in {was} at that time, not in {where}: leave "
                "--place out, or name another sensor with --sensor"
            )
        moves = where != NOWHERE and was == NOWHERE
        return Target(span, sensor.name, sensor.id, where or was, moves, reason)

    def _name(
        self, place: int, seen: Sequence[Span], where: str, sensors: Sensors
    ) -> tuple[str, str]:
        """The sensor's name: as said, as the last time, or after file and place."""
        if self.options.sensors:
            return self.options.sensors[place].strip(), "as you say"
        span = seen[place]
        before = self._before(span, where, sensors)
        if len(before) > 1:
            names = " and ".join(one.name for one in before)
            raise InputError(
                f"such files came from {names}, and this one does not say which logger "
                "wrote it: name its sensor with --sensor, or its place with --place"
            )
        if before:
            return before[0].name, "as the last time"
        base = self._base(where)
        if not base:
            raise InputError(
                "the file does not say which logger wrote it: name the sensor with "
                "--sensor, or the place it measures with --place"
            )
        parts = [base]
        if len(seen) > 1:
            columns = self.layout.temps
            parts += [columns[span.column].label] if len(columns) > 1 else []
            parts += [span.name] if span.name else []
        return " ".join(" ".join(parts).split()), "by the file"

    def _before(self, span: Span, where: str, sensors: Sensors) -> list[Sensor]:
        """The sensors that files of this source were of.

        Loggers of one make write the same headings. Unless the file names its device,
        only those can be meant that were in the place that is named.
        """
        ids = self.known.sensors.get(sensor_key(span), ())
        found = [sensor for one in ids if (sensor := sensors.get(one)) is not None]
        if self.found.device or not where:
            return found
        return [
            one for one in found if _place_of(sensors, one, span) in (NOWHERE, where)
        ]

    def _base(self, where: str) -> str:
        device = self.found.device.split("; ")[0]
        told = re.split(r"[:=,;\t|]", device, maxsplit=1)[-1].strip(" '\",;")
        if told:
            return f"logger {told}"
        return f"{where}, logger" if where else ""


def _place_of(sensors: Sensors, sensor: Sensor | None, span: Span) -> str:
    """Where a sensor was when the span began."""
    own = [
        one
        for one in sensors.assignments()
        if sensor is not None and one.sensor_id == sensor.id
    ]
    return place_at(own, instant(span.first_us))


def unit_doubt(span: Span, unit: str, state: str) -> str:
    """Why °C may have been °F, or the reverse; empty if nothing speaks for it."""
    typical = span.typical_c
    as_f, as_c = (typical - 32) / 1.8, typical * 1.8 + 32
    # What the same numbers would be, read in the other unit.
    other = as_f if unit == "C" else as_c
    written = typical if unit == "C" else as_c
    if state:
        low, high = _TYPICAL_C[state]
        is_odd = not low <= typical <= high and low <= other <= high
        what = f"unusual for a {state}"
    else:
        is_odd = unit == "C" and _SUSPECT_C[0] <= typical <= _SUSPECT_C[1]
        what = "warm for a cold place"
    if not is_odd:
        return ""
    other_unit = "F" if unit == "C" else "C"
    return (
        f"half of the first readings are above {written:.1f} °{unit}, {what}; as "
        f"°{other_unit} that is {say_temp(round(other, 1))}"
    )
