"""Under which word a sensor speaks: a topic of a broker, or its name over HTTP."""

from __future__ import annotations

from dataclasses import dataclass

from lidclock.errors import InputError

UNITS = ("c", "f")
# Longer than any that people lay out; MQTT itself allows 65,535 bytes.
LONGEST = 200


@dataclass(frozen=True, slots=True)
class SensorTopic:
    """What arrives under `topic` was said by the sensor; one topic has one sensor.

    `unit` ("c", "f") holds for what names none itself; empty if that is refused.
    """

    topic: str
    sensor_id: str
    unit: str = ""

    def __post_init__(self) -> None:
        if self.unit not in ("", *UNITS):
            raise ValueError(f"a unit is one of {UNITS} or empty, not {self.unit!r}")


def read_topic(text: str) -> str:
    """A topic without wildcards, as it was typed; InputError says how to write it."""
    topic = text.strip()
    if "+" in topic or "#" in topic:
        raise InputError(
            f"{text!r} stands for many topics; a sensor has one, such as "
            "kitchen/fridge-2/temperature"
        )
    if not topic or len(topic) > LONGEST or not topic.isprintable():
        raise InputError(
            f"{text[:40]!r} is no topic: write at most {LONGEST} characters on one "
            "line, such as kitchen/fridge-2/temperature"
        )
    return topic


def read_filter(text: str) -> str:
    """A topic, or many: + stands for one level, # for all that follow."""
    found = text.strip()
    *before, last = found.split("/")
    is_odd = any("#" in one for one in before) or any(
        ("+" in one or "#" in one) and len(one) > 1 for one in (*before, last)
    )
    if not found or is_odd or len(found) > LONGEST or not found.isprintable():
        raise InputError(
            f"{text[:40]!r} names no topics: write them like kitchen/fridge-2, "
            "kitchen/+/temperature or kitchen/#"
        )
    return found


def covers(filter_: str, topic: str) -> bool:
    """Whether a filter takes in a topic (MQTT 5.0, section 4.7.1)."""
    wanted, levels = filter_.split("/"), topic.split("/")
    # A wildcard at the start never meets the broker's own topics (section 4.7.2).
    if topic.startswith("$") and wanted[0] in ("+", "#"):
        return False
    if wanted[-1] == "#":
        wanted = wanted[:-1]
        levels = levels[: len(wanted)]
    return len(wanted) == len(levels) and all(
        one in ("+", level) for one, level in zip(wanted, levels, strict=True)
    )
