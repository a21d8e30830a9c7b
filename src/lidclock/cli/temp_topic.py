"""`temp sensor topic`: under which word a sensor speaks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns
from lidclock.errors import InputError

if TYPE_CHECKING:
    from lidclock.app.sensor_topics import TopicOf


@click.command()
@click.argument("name", metavar="[SENSOR]", required=False)
@click.argument("word", metavar="[TOPIC]", required=False)
@click.option(
    "--unit", metavar="C|F", help="Of messages that name none. [those are refused]"
)
@click.option("--forget", metavar="TOPIC", help="Forget whose a topic is.")
@json_option
@pass_desk
def topic(desk: Desk, name: str | None, word: str | None, **options: Any) -> None:
    """Say under which TOPIC of a broker a sensor speaks; without words, list them.

    `lidclock temp listen` keeps what arrives there as this sensor's. Over HTTP it is
    the name that a device gives itself, where that is not the sensor's own.

    \b
    Example:
      lidclock temp sensor topic "Probe A" kitchen/fridge-2/temperature --unit C
      lidclock temp sensor topic --forget kitchen/fridge-2/temperature
    """
    from lidclock.app import sensor_topics

    unit, forget = options["unit"], options["forget"]
    if forget is not None and (name or unit):
        raise InputError("--forget takes a topic and nothing else")
    if (name is None) != (word is None) or (unit and not name):
        raise InputError("name the sensor and its topic, in this order")
    with desk.session() as session:
        if forget is not None:
            gone = sensor_topics.forget_topic(session, forget)
            click.echo(f"{gone}: forgotten; what came from it stays")
        elif name is not None and word is not None:
            scale = sensor_topics.read_unit(unit) if unit else ""
            click.echo(_set(sensor_topics.set_topic(session, name, word, scale)))
        else:
            _list(sensor_topics.all_topics(session), as_json=options["as_json"])


def _set(found: TopicOf) -> str:
    was = f" (it was {found.was})" if found.was else ""
    return f"{found.topic} is {found.sensor.name}{was}, {_unit(found.unit)}"


def _unit(unit: str) -> str:
    return f"in °{unit.upper()}" if unit else "in the unit that each message names"


def _list(known: Sequence[TopicOf], *, as_json: bool) -> None:
    if as_json:
        echo_json(
            [
                {
                    "topic": one.topic,
                    "sensor": one.sensor.name,
                    "unit": one.unit.upper() or None,
                }
                for one in known
            ]
        )
    elif known:
        echo_lines(
            columns([[one.topic, one.sensor.name, _unit(one.unit)] for one in known])
        )
    else:
        click.echo(
            "no sensor has a topic yet: `lidclock temp sensor topic SENSOR TOPIC`"
        )
