"""Promise 7 with readings: what is stored is what the ledger and the readings say.

In whatever order readings, moves, corrections and offsets come in, the projections are
those of a rebuild, and warmer readings never leave a later last moment.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from lidclock.app import moves, prep, sensors, setup, temps, transfer
from lidclock.app.prep import Order
from lidclock.app.session import Session
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.readings import Offset
from lidclock.errors import LidclockError
from lidclock.templog.series import micros

BEGAN = datetime(2026, 7, 1, 6, tzinfo=UTC)
STEP = timedelta(minutes=20)
NOW = BEGAN + 300 * STEP
SOUP = Food("soup", "soup-stew", ())
PLACES = st.sampled_from(["Fridge", "Freezer", "Counter"])
AT = st.integers(0, 280)
COUNT = st.integers(1, 40)
TEMP = st.sampled_from([-18.0, -1.0, 2.0, 3.0, 4.0, 6.0, 9.0, 20.0, 35.0])
SENSOR = st.sampled_from(["A", "B"])

FILL = st.tuples(st.just("fill"), AT, PLACES)
MOVE = st.tuples(st.just("move"), AT, PLACES, st.integers(0, 3))
PACES = st.sampled_from([5, 20, 60])
READ = st.tuples(st.just("read"), AT, SENSOR, st.tuples(COUNT, PACES), TEMP)
TYPE = st.tuples(st.just("type"), AT, PLACES, TEMP)
CARRY = st.tuples(st.just("carry"), AT, SENSOR, PLACES)
SHIFT = st.tuples(st.just("offset"), AT, SENSOR, st.sampled_from([-4.0, 4.0]))
PACE = st.tuples(st.just("pace"), SENSOR, st.sampled_from([None, 5, 240]))
ACTS = st.lists(
    st.one_of(FILL, MOVE, READ, READ, TYPE, CARRY, SHIFT, PACE), min_size=3, max_size=14
)


@contextmanager
def kitchen(**choices: bool) -> Iterator[Session]:
    with TemporaryDirectory() as folder:
        path = Path(folder, "kitchen.db")
        setup.init_kitchen(path, Kitchen("", "Test", "UTC", **choices))
        session = Session.open(path, now=NOW, who="", device="")
        try:
            for name in ("A", "B"):
                sensors.add_sensor(session, name, "Fridge", since=BEGAN)
            yield session
        finally:
            session.close()


def play(session: Session, acts: list, warmer_c: float = 0.0) -> list[str]:
    codes: list[str] = []
    for kind, *act in acts:
        try:
            _ACTS[kind](session, codes, warmer_c, *act)
        except LidclockError:
            continue  # refused, so nothing was recorded
    return codes


def fill(session, codes, _, at, place):
    with session.write() as unit:
        when = BEGAN + at * STEP
        order = Order(SOUP, 1, made_at=when, place=session.place(place), placed_at=when)
        codes += prep.prep(unit, order).codes


def move(session, codes, _, at, place, number):
    if codes:
        with session.write() as unit:
            where, when = session.place(place), BEGAN + at * STEP
            moves.place(unit, codes[number % len(codes)], where, at=when, anyway=True)


def read(session, _, warmer_c, at, name, run, temp_c):  # noqa: PLR0917
    count, minutes = run
    times = micros(BEGAN + at * STEP) + np.arange(count) * minutes * 60_000_000
    with session.write() as unit:
        sensor = sensors.need_sensor(unit, name)
        temps.keep_readings(unit, sensor, times, np.full(count, temp_c + warmer_c))


def type_(session, _, warmer_c, at, place, temp_c):
    when = BEGAN + at * STEP
    temps.type_reading(session, place, temp_c + warmer_c, at=when, anyway=True)


def carry(session, _, __, at, name, place):
    sensors.move_sensor(session, name, place, BEGAN + at * STEP)


def offset(session, _, __, at, name, offset_c):
    with session.write() as unit:
        sensor, when = sensors.need_sensor(unit, name), BEGAN + at * STEP
        unit.charging.note(sensor.id, when, changed=True)
        sensors.sensors_of(unit).add_offset(Offset(sensor.id, when, offset_c))


def pace(session, _, __, name, minutes):
    span = None if minutes is None else timedelta(minutes=minutes)
    sensors.set_interval(session, name, span)


_ACTS = {
    "fill": fill, "move": move, "read": read, "type": type_, "carry": carry,
    "offset": offset, "pace": pace,
}  # fmt: skip


@given(ACTS, st.booleans())
@settings(max_examples=30)
def test_what_is_stored_is_what_a_rebuild_makes_of_it(acts, accepts):
    with kitchen(accepts_unmeasured=accepts) as session:
        play(session, acts)

        with session.write() as unit:
            assert transfer.rebuild(unit)


@given(ACTS, st.sampled_from([1.0, 7.0]))
@settings(max_examples=15)
def test_warmer_readings_never_leave_a_later_last_moment(acts, warmer_c):
    """Of containers in fridges and freezers, the hot hold being warm by intent."""
    ends = []
    for more in (0.0, warmer_c):
        with kitchen() as session:
            codes = play(session, acts, more)
            with session.read() as unit:
                found = [unit.snapshots.get(code) for code in codes]
            ends.append([(one.last_moment, one.days_left) for one in found])

    for (cold, left), (warm, fewer) in zip(*ends, strict=True):
        if cold is not None and warm is not None:
            assert warm <= cold
        if left is not None and fewer is not None:
            assert fewer <= left
