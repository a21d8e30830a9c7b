"""`temp listen`: the real program, a real broker, killed and stopped in mid-stream."""

import os
import signal
import subprocess
import sys
import threading
import urllib.error
import urllib.request
from contextlib import contextmanager, suppress
from datetime import UTC, datetime

import pytest

from lidclock.app.sensors import need_sensor
from lidclock.app.session import Session
from lidclock.store.readings import ReadingStore
from unit.gateways.real_broker import real_broker
from unit.gateways.real_printers import free_port, until

NOW = datetime(2026, 11, 2, 12, tzinfo=UTC)


@pytest.fixture
def broker():
    with real_broker() as one:
        yield one


@pytest.fixture
def probe(cook):
    """A kitchen with Probe A in its fridge, which speaks under `kitchen/fridge`."""
    cook.run("temp", "sensor", "add", "Probe A", "--place", "Fridge")
    cook.run(*("temp", "sensor", "topic", "Probe A", "kitchen/fridge", "--unit", "C"))
    return cook


class Listening:
    """A `temp listen` of its own process, and what it says."""

    def __init__(self, cook, args, more):
        settings = {
            **os.environ,
            "LIDCLOCK_DB": str(cook.database),
            "LIDCLOCK_NOW": cook.now,
            **more,
        }
        self.said = cook.folder / "said"
        with self.said.open("wb") as said:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "lidclock", "temp", "listen", *args],
                stdout=said,
                stderr=subprocess.STDOUT,
                env=settings,
            )

    def lines(self):
        return self.said.read_text().splitlines()

    def says(self, words):
        return until(lambda: words in self.said.read_text(), 40)

    def end(self, number=signal.SIGTERM):
        """Its exit code after a signal."""
        self.process.send_signal(number)
        return self.process.wait(30)


@contextmanager
def listening(cook, *args, **more):
    """The program, once it says that it listens."""
    found = Listening(cook, args, more)
    try:
        assert found.says("listening "), found.lines()
        yield found
    finally:
        with suppress(ProcessLookupError):
            found.process.kill()
        found.process.wait(30)


def kept(cook, name="Probe A"):
    """What the database holds of a sensor, straight from the store."""
    session = Session.open(cook.database, now=NOW)
    try:
        with session.read() as unit:
            sensor = need_sensor(unit, name)
            store = ReadingStore(unit.connection, session.kitchen.id)
            return store.get(sensor.id).temps_c.tolist()
    finally:
        session.close()


def test_a_day_with_a_sensor_that_publishes(probe, broker):
    with listening(probe, "--mqtt", broker.url) as program:
        broker.publish("kitchen/fridge", "4.5")
        broker.publish("kitchen/fridge", "85")
        broker.publish(
            *("kitchen/fridge",),
            '{"temp": 41.9, "unit": "F", "at": "2026-10-31T21:30:00Z"}',
        )
        assert until(lambda: len(kept(probe)) == 2)
        code = program.end()

    assert code == 0
    assert program.lines() == [
        f"listening to {broker.url}",
        "Probe A: 85 °C at a jump is what a common sensor shows at power-on; not kept",
        "3 received: 2 kept, 1 refused",
        "stopped",
    ]
    # 21:30 UTC is 17:30 in New York; (41.9 - 32) / 1.8 = 5.5.
    assert kept(probe) == [5.5, 4.5]
    shown = probe.see("temp", "list", "Fridge", now="2026-10-31T17:45")
    assert "Probe A: 4.5 °C" in shown


def test_killed_in_mid_stream_every_message_is_there_once(probe, broker):
    """Bare numbers, each another, so that a loss, a double and a mix-up all show."""
    wanted = [f"{number / 100:.2f}" for number in range(6000)]
    sender = threading.Thread(
        target=broker.publish_lines, args=("kitchen/fridge", wanted)
    )
    real_clock = {"LIDCLOCK_NOW": ""}
    with listening(probe, "--mqtt", broker.url, **real_clock) as program:
        sender.start()
        for share in (400, 1500, 3000):
            assert until(lambda share=share: len(kept(probe)) >= share)
            assert program.end(signal.SIGKILL) == -signal.SIGKILL
            program = Listening(probe, ["--mqtt", broker.url], real_clock)
        sender.join(60)
        assert until(lambda: len(kept(probe)) >= len(wanted), 60)
        assert program.end() == 0

    assert sorted(kept(probe)) == [float(one) for one in wanted]


def test_a_broker_that_dies_and_comes_back_is_told_and_nothing_is_lost(probe, broker):
    with listening(probe, "--mqtt", broker.url) as program:
        broker.publish("kitchen/fridge", "4")
        assert until(lambda: kept(probe) == [4.0])
        broker.stop()
        assert program.says(f"{broker.url} is gone")
        broker.start()
        assert program.says("listening again to")
        broker.publish("kitchen/fridge", "5")
        assert until(lambda: len(kept(probe)) == 2)
        assert program.end(signal.SIGINT) == 0

    assert sorted(kept(probe)) == [4.0, 5.0]
    assert "Traceback" not in program.said.read_text()


def test_a_topic_nobody_named_is_listed_and_taken_up_once_it_is(probe, broker):
    with listening(probe, "--mqtt", broker.url) as program:
        # Not listened to yet; it is once a sensor has it.
        probe.run("temp", "sensor", "topic", "Probe A", "attic", "--unit", "F")
        assert program.says("listening for attic")
        broker.publish("attic", "41")
        assert until(lambda: kept(probe) == [5.0])
    with listening(probe, "--mqtt", broker.url, "--topic", "#") as program:
        broker.publish("cellar", "3")
        assert program.says("cellar: no sensor is known for it")

    assert kept(probe) == [5.0]


def post(port, body, **headers):
    """Status and body of a request."""
    asked = urllib.request.Request(f"http://127.0.0.1:{port}/readings", body, headers)
    try:
        with urllib.request.urlopen(asked, timeout=20) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as error:
        with error:
            return error.code, error.read().decode()


def test_both_doors_at_once(probe, broker):
    port = free_port()
    args = ("--mqtt", broker.url, "--http", f"{port}")
    with listening(probe, *args) as program:
        assert program.says("listening to")
        broker.publish("kitchen/fridge", "4.5")
        good = post(port, b'{"sensor": "probe a", "temp": 5, "unit": "C"}')
        bad = post(port, b'{"sensor": "Probe B", "temp": 5, "unit": "C"}')
        assert until(lambda: len(kept(probe)) == 2)
        assert program.end() == 0

    assert good == (200, '{"stored": 1}\n')
    assert bad[0] == 400
    assert "no sensor is known by that name" in bad[1]
    assert f"listening at http://127.0.0.1:{port}/readings" in program.lines()
    assert "3 received: 2 kept, 1 refused" in program.lines()


def test_a_token_comes_from_a_file_or_the_environment(probe):
    port = free_port()
    body = b'{"sensor": "Probe A", "temp": 5, "unit": "C"}'
    args = ("--http", f"0.0.0.0:{port}")
    with listening(probe, *args, LIDCLOCK_HTTP_TOKEN="s3cret"):
        assert post(port, body)[0] == 401
        assert post(port, body, Authorization="Bearer s3cret")[0] == 200

    assert kept(probe) == [5.0]


def test_a_password_is_read_from_a_file(probe):
    passwords = probe.folder / "passwords"
    given = probe.folder / "given"
    given.write_text("s3cret\n")
    passwords.write_text("")
    passwords.chmod(0o600)
    subprocess.run(
        ["mosquitto_passwd", "-b", str(passwords), "cook", "s3cret"], check=True
    )
    with real_broker(f"password_file {passwords}\nallow_anonymous false") as broker:
        url = f"mqtt://cook@127.0.0.1:{broker.port}"
        with listening(probe, "--mqtt", url, "--password-file", str(given)) as program:
            assert program.end() == 0
        refused = probe.fail(19, "temp", "listen", "--mqtt", url)

    assert "refuses us: not authorized; check name and password" in refused


def test_what_cannot_be_reached_ends_with_its_own_code(probe):
    port = free_port()
    said = probe.fail(19, *("temp", "listen", "--mqtt", f"mqtt://127.0.0.1:{port}"))

    assert f"no broker answers at mqtt://127.0.0.1:{port}" in said


def test_what_is_missing_is_asked_for(cook):
    assert "--mqtt URL, --http PORT" in cook.fail(2, "temp", "listen")
    said = cook.fail(2, "temp", "listen", "--mqtt", "mqtt://127.0.0.1:1")
    assert "no sensor has a topic yet" in said


def test_topics_are_named_listed_and_forgotten(probe):
    assert probe.see("temp", "sensor", "topic") == "kitchen/fridge  Probe A  in °C\n"
    probe.run("temp", "sensor", "add", "Probe B", "--place", "Fridge")
    moved = probe.see("temp", "sensor", "topic", "Probe B", "kitchen/fridge")
    assert moved == (
        "kitchen/fridge is Probe B (it was Probe A), in the unit that each message "
        "names\n"
    )
    assert probe.data("temp", "sensor", "topic") == [
        {"topic": "kitchen/fridge", "sensor": "Probe B", "unit": None}
    ]
    probe.run("temp", "sensor", "topic", "--forget", "kitchen/fridge")
    assert "no sensor has a topic yet" in probe.see("temp", "sensor", "topic")


@pytest.mark.parametrize(
    "words",
    [
        ("Probe A",),
        ("--unit", "C"),
        ("Probe A", "a/#"),
        ("Probe A", "a", "--unit", "K"),
        ("Probe A", "a", "--forget", "a"),
    ],
)
def test_a_topic_needs_a_sensor_and_a_word(probe, words):
    probe.fail(2, "temp", "sensor", "topic", *words)
