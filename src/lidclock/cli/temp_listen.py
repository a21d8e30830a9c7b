"""`temp listen`: readings as they come, from a broker or over HTTP."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any

import click

from lidclock.cli.desk import Desk, pass_desk


@click.command()
@click.option(
    "--mqtt",
    envvar="LIDCLOCK_MQTT",
    metavar="URL",
    default="",
    help="The broker: mqtt://[NAME@]HOST[:PORT] or mqtts://... [env: LIDCLOCK_MQTT]",
)
@click.option(
    "--topic",
    "topics",
    metavar="TOPIC",
    multiple=True,
    help="Listen here as well; + and # stand for many. [the sensors' topics]",
)
@click.option(
    "--password-file",
    metavar="FILE",
    help="With NAME: its password. [env: LIDCLOCK_MQTT_PASSWORD]",
)
@click.option(
    "--ca",
    metavar="FILE",
    default="",
    help="Certificates of a broker that signs its own.",
)
@click.option(
    "--http",
    metavar="[HOST:]PORT",
    default="",
    help="Take readings over HTTP; without HOST only from this computer.",
)
@click.option(
    "--token-file",
    metavar="FILE",
    help="What senders must know; needed with HOST. [env: LIDCLOCK_HTTP_TOKEN]",
)
@pass_desk
def listen(desk: Desk, **options: Any) -> None:
    """Keep readings as sensors send them, until Ctrl-C.

    A message is a number (`4.5`, `40.1 F`) or JSON such as
    {"temp": 4.5, "unit": "C", "at": "2026-11-02T07:30:00Z"}. Which sensor speaks under
    which topic is said with `lidclock temp sensor topic`; topics that nobody named are
    listed as they come, and not kept. The broker hears that a message was taken only
    once it is on disk.

    \b
    Example:
      lidclock temp listen --mqtt mqtt://192.0.2.7
      lidclock temp listen --mqtt mqtts://cook@broker.example --password-file secret
      lidclock temp listen --http 8089
    """
    from lidclock.app import listen as app

    found = app.sources(
        mqtt=options["mqtt"],
        password=app.secret(
            options["password_file"], os.environ.get("LIDCLOCK_MQTT_PASSWORD")
        ),
        authorities=options["ca"],
        topics=options["topics"],
        http=options["http"],
        token=app.secret(options["token_file"], os.environ.get("LIDCLOCK_HTTP_TOKEN")),
    )
    with desk.session() as session, _until_stopped() as stop:
        app.listen(session, found, tell=_tell, wait=stop.wait)
    _tell("stopped")


def _tell(line: str) -> None:
    """A line at once, also where a service manager reads them."""
    click.echo(line)


@contextmanager
def _until_stopped() -> Iterator[threading.Event]:
    """An event that Ctrl-C and SIGTERM set; a second Ctrl-C ends at once."""
    stop = threading.Event()
    before = {}

    def ask(number: int, _: FrameType | None) -> None:
        stop.set()
        signal.signal(number, signal.default_int_handler)

    for number in (signal.SIGINT, signal.SIGTERM):
        before[number] = signal.signal(number, ask)
    try:
        yield stop
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
