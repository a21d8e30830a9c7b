"""Looking at a logger's file and recording it, without a terminal around it."""

import gzip
from datetime import UTC, datetime, timedelta

import pytest

from lidclock.app import logger_file, setup
from lidclock.app.logger_file import LoggerFile
from lidclock.app.session import Session
from lidclock.app.temp_import import Open, Options, look
from lidclock.app.temp_record import record
from lidclock.app.temp_source import fixed_offset
from lidclock.app.temp_targets import unit_doubt
from lidclock.domain.kitchens import Kitchen
from lidclock.errors import InputError, StoreError
from lidclock.store.readings import ReadingStore
from lidclock.store.sensors import Sensors
from lidclock.templog.logger_csv import reader, text
from lidclock.templog.logger_csv.survey import Span

NOW = datetime(2026, 11, 1, tzinfo=UTC)


@pytest.fixture
def session(tmp_path):
    path = tmp_path / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Home", "America/New_York"))
    session = Session.open(path, now=NOW)
    yield session
    session.close()


@pytest.fixture
def small_batches(monkeypatch):
    """What a file of gigabytes meets, with one of some kilobytes."""
    monkeypatch.setattr(reader, "BATCH_ROWS", 100)
    monkeypatch.setattr(text, "BLOCK_BYTES", 5000)
    monkeypatch.setattr(logger_file, "_PIECE_BYTES", 5000)


def log(count):
    start = datetime(2026, 10, 1)
    rows = [
        f"{start + timedelta(minutes=place):%Y-%m-%d %H:%M},{place % 80 / 10}"
        for place in range(count)
    ]
    return "\n".join(["Serial no.: 1", "Time,T (°C)", *rows, ""]).encode()


def file_of(tmp_path, content):
    path = tmp_path / "log.csv"
    path.write_bytes(content)
    return LoggerFile.at(path)


def stored(session):
    with session.read() as unit:
        (sensor,) = Sensors(unit.connection, session.kitchen.id).all()
        store = ReadingStore(unit.connection, session.kitchen.id)
        return store.get(sensor.id)


@pytest.mark.usefixtures("small_batches")
def test_a_file_of_many_batches_is_read_again_to_be_recorded(session, tmp_path):
    """Nothing of it stays in memory meanwhile, and it comes out as if it had."""
    plan = look(session, file_of(tmp_path, log(20_000)), Options(places=("Fridge",)))
    assert not isinstance(plan, Open)

    outcome = record(session, plan)

    assert plan.batch is None
    assert (outcome.new, outcome.known) == (20_000, 0)
    found = stored(session)
    assert found.times_us.size == 20_000
    assert found.temps_c.tolist() == [place % 80 / 10 for place in range(20_000)]


def test_a_small_file_is_read_once(session, tmp_path):
    file = file_of(tmp_path, log(100))
    plan = look(session, file, Options(places=("Fridge",)))
    assert not isinstance(plan, Open)
    file.path.unlink()

    assert record(session, plan).new == 100


@pytest.mark.usefixtures("small_batches")
def test_a_file_that_grows_between_look_and_record_is_refused(session, tmp_path):
    file = file_of(tmp_path, log(20_000))
    plan = look(session, file, Options(places=("Fridge",)))
    assert not isinstance(plan, Open)
    file.path.write_bytes(log(20_001))

    with pytest.raises(StoreError, match=r"log\.csv changed while it was read"):
        record(session, plan)


@pytest.mark.parametrize("packed", [False, True])
def test_progress_adds_up_to_the_size_of_the_file(session, tmp_path, packed):
    content = log(5000)
    file = file_of(tmp_path, gzip.compress(content) if packed else content)
    seen = []

    look(session, file, Options(places=("Fridge",)), seen.append)

    assert sum(seen) == file.size


@pytest.mark.parametrize(
    ("said", "hours"),
    [
        *(("UTC", 0), ("gmt", 0), ("Z", 0), ("+02:00", 2), ("-0530", -5.5)),
        *(("UTC+1", 1), ("GMT -4", -4), ("−3", -3)),
    ],
)
def test_a_fixed_offset_is_read(said, hours):
    zone = fixed_offset(said)

    assert zone is not None
    assert zone.utcoffset(None) == timedelta(hours=hours)


@pytest.mark.parametrize("said", ["Europe/Berlin", "EST", "", "+2:5", "(UTC-05:00) X"])
def test_what_is_no_fixed_offset_is_none(said):
    assert fixed_offset(said) is None


def test_no_zone_lies_a_day_away():
    with pytest.raises(InputError, match="no zone lies"):
        fixed_offset("+24:00")


def span(typical_c):
    return Span(0, "", 9, 0, 1, typical_c, typical_c, typical_c, 1)


@pytest.mark.parametrize(
    ("typical_c", "unit", "state", "is_doubtful"),
    [
        (38.0, "C", "fridge", True),
        (4.0, "C", "fridge", False),
        (20.0, "C", "fridge", False),
        (-15.6, "F", "fridge", True),
        (3.3, "F", "fridge", False),
        (0.0, "C", "freezer", True),
        (-18.0, "C", "freezer", False),
        (-2.0, "C", "freezer", True),
        (70.0, "C", "counter", True),
        (22.0, "C", "counter", False),
        (140.0, "C", "hot", True),
        (63.0, "C", "hot", False),
        (17.0, "F", "hot", True),
        (38.0, "C", "", True),
        (22.0, "C", "", False),
        (3.3, "F", "", False),
    ],
)
def test_a_slip_of_the_unit_shows_where_the_other_fits(
    typical_c, unit, state, is_doubtful
):
    """20 °C in a fridge is warm, but 20 °F would not suit one: no slip."""
    assert bool(unit_doubt(span(typical_c), unit, state)) == is_doubtful


def test_a_doubt_says_both_readings_of_the_number():
    assert unit_doubt(span(38.0), "C", "fridge") == (
        "half of the first readings are above 38.0 °C, unusual for a fridge; as °F "
        "that is 3.3 °C"
    )
    assert unit_doubt(span(-15.5556), "F", "fridge") == (
        "half of the first readings are above 4.0 °F, unusual for a fridge; as °C "
        "that is 4 °C"
    )
