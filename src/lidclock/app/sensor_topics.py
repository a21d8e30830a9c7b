"""Topics of a kitchen's sensors: under which word each of them speaks."""

from __future__ import annotations

from dataclasses import dataclass

from lidclock.app.sensors import need_sensor, sensors_of
from lidclock.app.session import Session, Unit
from lidclock.domain.readings import Sensor
from lidclock.domain.topics import SensorTopic, read_topic
from lidclock.errors import InputError, RefusedError, UnknownThingError
from lidclock.store.topics import Topics


@dataclass(frozen=True, slots=True)
class TopicOf:
    """A topic with its sensor; `was` is whose it was before, if another's."""

    topic: str
    sensor: Sensor
    unit: str = ""
    was: str = ""


def topics_of(unit: Unit) -> Topics:
    """The topics of the unit's kitchen."""
    return Topics(unit.connection, unit.session.kitchen.id)


def set_topic(session: Session, sensor: str, topic: str, unit: str = "") -> TopicOf:
    """Say whose a topic is from now on; what was kept of it before stays where it is.

    `unit` ("c", "f") is of messages that name none.
    """
    word = read_topic(topic)
    with session.write() as work:
        found = need_sensor(work, sensor)
        if found.is_typed:
            raise RefusedError(
                f"{found.name} holds what people type: add the sensor that speaks "
                "there with `lidclock temp sensor add NAME --place PLACE`"
            )
        before = {one.topic: one for one in listed_topics(work)}.get(word)
        topics_of(work).put(SensorTopic(word, found.id, unit))
    is_other = before is not None and before.sensor.id != found.id
    return TopicOf(word, found, unit, before.sensor.name if before and is_other else "")


def forget_topic(session: Session, topic: str) -> str:
    """Forget whose a topic is; UnknownThingError if nobody said."""
    word = topic.strip()
    with session.write() as work:
        if not topics_of(work).drop(word):
            known = [one.topic for one in topics_of(work).all()]
            there = f"; there are {', '.join(known[:5])}" if known else ""
            raise UnknownThingError(f"no sensor has the topic {word!r}{there}")
    return word


def all_topics(session: Session) -> list[TopicOf]:
    """Every topic of the kitchen, in order."""
    with session.read() as work:
        return listed_topics(work)


def listed_topics(unit: Unit) -> list[TopicOf]:
    """Every topic with its sensor, in order."""
    sensors = {one.id: one for one in sensors_of(unit).all()}
    return [
        TopicOf(one.topic, sensors[one.sensor_id], one.unit)
        for one in topics_of(unit).all()
        if one.sensor_id in sensors
    ]


def read_unit(text: str) -> str:
    """`C` or `F`, as it is stored; InputError says so."""
    unit = text.strip().strip("°").lower()
    if unit not in ("c", "f"):
        raise InputError(f"--unit is C or F, not {text!r}")
    return unit
