"""Readings of a logger's file into the store, batch by batch; twice is once."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lidclock.app.logger_file import Progress, silent
from lidclock.app.now import new_ids
from lidclock.app.temp_source import remember
from lidclock.app.temp_targets import Target, sensor_key
from lidclock.domain.readings import Assignment, Sensor, say_temp
from lidclock.errors import RefusedError
from lidclock.store.reading_values import Clash, Mark
from lidclock.store.rows import instant, micros
from lidclock.store.sensors import Sensors
from lidclock.templog.logger_csv.words import say_moment

if TYPE_CHECKING:
    from lidclock.app.session import Session, Unit
    from lidclock.app.temp_import import Plan
    from lidclock.templog.logger_csv.reader import Part

# So many moments with other temperatures than the recorded ones, and this share of
# those that are recorded at all: then the file is of another logger. Our choice.
_FEWEST_CLASHES = 10
_CLASHING_SHARE = 0.1


@dataclass(frozen=True, slots=True)
class Outcome:
    """How many readings were new and known; `clashes` were recorded otherwise."""

    new: int = 0
    known: int = 0
    clashes: int = 0
    first_clash: str = ""


class _DryRunError(Exception):
    """Undoes a transaction that was only tried."""


def record(
    session: Session, plan: Plan, progress: Progress = silent, *, dry: bool = False
) -> Outcome:
    """Record the readings of a plan; with `dry`, find out what would happen.

    What was recorded before is left as it is. RefusedError if the file contradicts it
    so often that it must be another logger's; nothing of that batch is kept then.
    """
    total = Outcome()
    for batch in plan.batches(progress):
        with _transaction(session, dry=dry) as unit:
            for part in batch:
                total = _sum(total, _add(unit, plan, part))
    if not dry:
        with session.write() as unit:
            _remember(unit, plan)
    return total


@contextmanager
def _transaction(session: Session, *, dry: bool) -> Iterator[Unit]:
    with suppress(_DryRunError), session.write() as unit:
        yield unit
        if dry:
            raise _DryRunError


def _add(unit: Unit, plan: Plan, part: Part) -> Outcome:
    from lidclock.store.readings import ReadingStore

    target = next(
        one
        for one in plan.targets
        if (one.span.column, one.span.name) == (part.column, part.name)
    )
    session = unit.session
    sensor = _sensor(unit, target)
    store = ReadingStore(unit.connection, session.kitchen.id)
    mark = Mark(micros(session.now), session.who, session.device)
    series = part.series
    if len(series.at_us):
        unit.charging.note(sensor.id, instant(int(min(series.at_us))))
    added = store.add(sensor.id, series.at_us, series.temp_c, mark)
    count = len(added.clashes)
    if count >= _FEWEST_CLASHES and count > _CLASHING_SHARE * (added.known + count):
        raise RefusedError(
            f"{plan.file.name} contradicts {count:,} readings of {sensor.name}: "
            f"{_say_clash(session, added.clashes[0])}; is it another logger's? Name "
            "that with --sensor (a wrong --shift or --unit looks the same)"
        )
    said = _say_clash(session, added.clashes[0]) if added.clashes else ""
    return Outcome(added.new, added.known, count, said)


def _say_clash(session: Session, clash: Clash) -> str:
    when = say_moment(clash.at_us, session.kitchen.zone)
    kept, other = say_temp(clash.kept_c), say_temp(clash.other_c)
    return f"{when} is recorded with {kept}, here it has {other}"


def _sum(one: Outcome, more: Outcome) -> Outcome:
    return Outcome(
        one.new + more.new,
        one.known + more.known,
        one.clashes + more.clashes,
        one.first_clash or more.first_clash,
    )


def _sensor(unit: Unit, target: Target) -> Sensor:
    """The sensor of a target, made and put into its place if need be."""
    sensors = Sensors(unit.connection, unit.session.kitchen.id)
    sensor = sensors.get(target.sensor_id or target.sensor)
    if sensor is None:
        sensor = Sensor(new_ids(1)[0], target.sensor)
        sensors.add(sensor)
    if target.moves:
        since = instant(target.span.first_us)
        unit.charging.note(sensor.id, since, changed=True)
        sensors.move(Assignment(sensor.id, since, target.place))
    return sensor


def _remember(unit: Unit, plan: Plan) -> None:
    sensors = Sensors(unit.connection, unit.session.kitchen.id)
    ids = dict(plan.memory.sensors)
    for target in plan.targets:
        sensor = sensors.get(target.sensor_id or target.sensor)
        if sensor is not None:
            before = ids.get(sensor_key(target.span), ())
            others = tuple(one for one in before if one != sensor.id)
            ids[sensor_key(target.span)] = (*others, sensor.id)
    remember(unit, plan.guess.source, replace(plan.memory, sensors=ids))
