"""What was acknowledged survives a kill; writers at once neither lose nor repeat."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

import lidclock
from lidclock.store import Database, Ledger

PREAMBLE = """
import sys
from datetime import UTC, datetime
from lidclock.domain.events import Event
from lidclock.store import Database, Ledger

database = Database.open(sys.argv[1])
at = datetime(2026, 10, 31, 12, tzinfo=UTC)

def record(name, kind="noted", **body):
    return Event(name, kind, name, at, at, "UTC", body=body)
"""
# Acknowledges each event once it is committed, and stops inside a transaction.
INTERRUPTED = """
for n in range(20):
    with database.begin() as connection:
        Ledger(connection, "home").append(record(f"id-{n:03}"))
    print(f"id-{n:03}", flush=True)
with database.begin() as connection:
    Ledger(connection, "home").append_all(record(f"lost-{n}") for n in range(500))
    print("inside", flush=True)
    sys.stdin.read()
"""
ENDLESS = """
n = 0
while True:
    with database.begin() as connection:
        Ledger(connection, "home").append(record(f"id-{n:09}"))
    print(f"id-{n:09}", flush=True)
    n += 1
"""
NUMBERING = """
for n in range(60):
    with database.begin() as connection:
        ledger = Ledger(connection, "home")
        number = ledger.next_batch_number()
        ledger.append(record(f"{sys.argv[2]}-{n:03}", "made", number=number))
"""


def start(script, path, *arguments):
    source = Path(lidclock.__file__).parents[1]
    return subprocess.Popen(
        [sys.executable, "-c", PREAMBLE + script, str(path), *arguments],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(source)},
    )


def events_in(path):
    with Database.open(path) as database, database.read() as connection:
        return list(Ledger(connection, "home").all())


@pytest.mark.usefixtures("database")
def test_a_kill_inside_a_transaction_loses_that_transaction_only(path):
    with start(INTERRUPTED, path) as child:
        told = [line.strip() for line in iter(child.stdout.readline, "inside\n")]
        child.kill()

    assert told == [f"id-{n:03}" for n in range(20)]
    assert [event.id for event in events_in(path)] == told


@pytest.mark.parametrize("after", [1, 7, 40])
@pytest.mark.usefixtures("database")
def test_a_kill_at_any_moment_loses_nothing_acknowledged(path, after):
    with start(ENDLESS, path) as child:
        told = [child.stdout.readline().strip() for _ in range(after)]
        child.kill()
        told += [line.strip() for line in child.stdout]
    kept = {event.id for event in events_in(path)}

    assert len(told) >= after
    assert set(told) <= kept


@pytest.mark.usefixtures("database")
def test_two_processes_at_once_each_get_their_own_numbers(path):
    with start(NUMBERING, path, "a") as one, start(NUMBERING, path, "b") as other:
        complaints = one.communicate()[1] + other.communicate()[1]
    numbers = sorted(event.body["number"] for event in events_in(path))

    assert complaints == ""
    assert numbers == list(range(1, 121))
