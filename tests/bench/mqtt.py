"""Messages of a broker into the database, beside the bare library taking the same.

A broker (Debian's mosquitto), a publisher at a fixed pace and the receiver under test
run at once. The floor is paho receiving the same messages at QoS 1, acknowledging each
itself, and keeping none.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from lidclock.app import sensor_topics, sensors, setup
from lidclock.app.listen import listen, sources
from lidclock.app.now import now
from lidclock.app.session import Session
from lidclock.domain.kitchens import Kitchen
from lidclock.store.readings import ReadingStore

SENSORS, PACE, SECONDS = 20, 2000, 15
COUNT = PACE * SECONDS
_CONFIG = "listener {port} 127.0.0.1\nallow_anonymous true\nmax_queued_messages 0\n"
_PUBLISHER = "mosquitto_pub"
_NOBODY = threading.Event()  # never set: only waited for
_PATIENCE_S = 60
Receiver = Callable[[int, Callable[[], None]], None]


@dataclass(frozen=True)
class Cost:
    """How long after the last message a receiver was done, and its processor time.

    `pace` is how many messages a second were really sent.
    """

    pace: float
    late_s: float
    cpu_s: float


def mqtt(folder: Path) -> Iterator[str]:
    """2,000 messages a second for a while: how many were kept, and at what cost."""
    program = shutil.which("mosquitto", path=f"{os.environ['PATH']}:/usr/sbin")
    if program is None or shutil.which(_PUBLISHER) is None:
        yield "left out: there is no mosquitto, or no mosquitto-clients"
        return
    database = folder / "mqtt.db"
    _kitchen(database)
    with _broker(program, folder) as port:
        floor = _measured(port, _bare)
        ours = _measured(port, lambda at, ready: _listen(database, at, ready))
    yield (
        f"{COUNT:,} messages of {SENSORS} sensors at {ours.pace:,.0f}/s: "
        f"{_kept(database):,} kept (goal: all), "
        f"the last {ours.late_s:.1f} s after it was sent"
    )
    yield (
        f"cores busy: {ours.cpu_s / SECONDS:.2f}; bare paho "
        f"{floor.cpu_s / SECONDS:.2f}: ratio {ours.cpu_s / floor.cpu_s:.2f}"
    )


def _measured(port: int, receiver: Receiver) -> Cost:
    """Run a receiver in a process of its own while messages are published."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            receiver(port, lambda: os.close(writer))
        finally:
            os._exit(0)
    os.close(writer)
    os.read(reader, 1)  # ends once the receiver listens
    os.close(reader)
    began, sent_at = _publish(port)
    _, _, used = os.wait4(child, 0)
    late_s = time.perf_counter() - sent_at
    return Cost(COUNT / (sent_at - began), late_s, used.ru_utime + used.ru_stime)


def _publish(port: int) -> tuple[float, float]:
    """A message of each sensor in turn, at the pace: one mosquitto_pub for each topic.

    A publisher in Python would take the processor from what is measured. When the
    first and the last message were handed over.
    """
    send = [_PUBLISHER, "-p", str(port), "-q", "1", "-l", "-t"]
    senders = [
        subprocess.Popen([*send, f"kitchen/{number}"], stdin=subprocess.PIPE, bufsize=0)
        for number in range(SENSORS)
    ]
    began = time.perf_counter()
    for turn in range(COUNT // SENSORS):
        behind = began + turn * SENSORS / PACE - time.perf_counter()
        if behind > 0:
            _NOBODY.wait(behind)
        for sender in senders:
            sender.stdin.write(f"{3 + turn % 64 / 16}\n".encode())
    ended = time.perf_counter()
    for sender in senders:
        sender.stdin.close()
        sender.wait(_PATIENCE_S)
    return began, ended


def _bare(port: int, ready: Callable[[], None]) -> None:
    from paho.mqtt.client import Client
    from paho.mqtt.enums import CallbackAPIVersion

    seen, over = [0], threading.Event()

    def count(*_: object) -> None:
        seen[0] += 1
        if seen[0] == COUNT:
            over.set()

    client = Client(CallbackAPIVersion.VERSION2)
    client.on_message = count
    client.on_subscribe = lambda *_: ready()
    client.connect("127.0.0.1", port)
    client.subscribe("kitchen/#", 1)
    client.loop_start()
    over.wait(SECONDS + _PATIENCE_S)
    client.loop_stop()


def _listen(database: Path, port: int, ready: Callable[[], None]) -> None:
    """`temp listen` itself, until it has received them all."""

    def tell(line: str) -> None:
        if line.startswith("listening to"):
            _NOBODY.wait(1)  # until the broker has heard of the topics
            ready()

    session = Session.open(database, now=now())
    other = Session.open(database, now=now())  # the first writes in another thread
    began = time.perf_counter()

    looked_at = [began]

    def wait(seconds: float) -> bool:
        _NOBODY.wait(seconds)
        at = time.perf_counter()
        if at - looked_at[0] < 0.5:  # counting them costs what is measured
            return False
        looked_at[0] = at
        return at - began > SECONDS + _PATIENCE_S or count() >= COUNT

    def count() -> int:
        with other.read() as unit:
            store = ReadingStore(unit.connection, other.kitchen.id)
            extents = [store.extent(one.id) for one in sensors.sensors_of(unit).all()]
        return sum(one.count for one in extents if one)

    found = sources(mqtt=f"mqtt://127.0.0.1:{port}")
    listen(session, found, tell, wait)
    session.close()
    other.close()


def _kitchen(database: Path) -> None:
    setup.init_kitchen(database, Kitchen("", "Bench", "UTC"))
    session = Session.open(database, now=now())
    for number in range(SENSORS):
        sensors.add_sensor(session, f"Probe {number}", "Fridge")
        sensor_topics.set_topic(session, f"Probe {number}", f"kitchen/{number}", "c")
    session.close()


def _kept(database: Path) -> int:
    session = Session.open(database, now=now())
    with session.read() as unit:
        store = ReadingStore(unit.connection, session.kitchen.id)
        found = [store.get(one.id) for one in sensors.sensors_of(unit).all()]
    session.close()
    return sum(one.times_us.size for one in found)


@contextmanager
def _broker(program: str, folder: Path) -> Iterator[int]:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        port = int(one.getsockname()[1])
    config = folder / "mosquitto.conf"
    config.write_text(_CONFIG.format(port=port), encoding="utf-8")
    with subprocess.Popen(
        [program, "-c", str(config)], stderr=subprocess.DEVNULL
    ) as process:
        _NOBODY.wait(1)
        try:
            yield port
        finally:
            process.terminate()
