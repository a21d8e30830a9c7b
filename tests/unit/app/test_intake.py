"""Readings that arrive: whose they are, what is wrong, and each of them once."""

from datetime import timedelta

import pytest

from lidclock.app import sensor_topics, sensors, temps
from lidclock.app.intake import Intake
from lidclock.app.listen import secret, sources
from lidclock.errors import (
    InputError,
    ReadingError,
    RefusedError,
    StoreError,
    UnknownThingError,
)
from lidclock.gateways.arrivals import Arrival
from lidclock.gateways.in_doubt import Message
from lidclock.store.readings import ReadingStore

from .conftest import at

NOON = "2026-11-02T12:00"
MINUTE = timedelta(minutes=1)


@pytest.fixture
def kitchen(opened):
    """At noon; Probe A in the fridge speaks under `a` in °C, Probe B under `b`."""
    session = opened(NOON)
    for name, topic, unit in (("Probe A", "a", "c"), ("Probe B", "b", "")):
        sensors.add_sensor(session, name, "Fridge", since=at("2026-10-01T00:00"))
        sensor_topics.set_topic(session, name, topic, unit)
    return session


@pytest.fixture
def told():
    return []


@pytest.fixture
def intake(kitchen, told):
    return Intake(kitchen, now=lambda: at(NOON), tell=told.append)


def message(payload, topic="a", after_s=0.0, **more):
    received_at = at(NOON) + timedelta(seconds=after_s)
    return Message(topic, payload.encode(), received_at, **more)


def send(intake, *batch):
    intake.messages("me", ["#"], batch)


def kept(session, name="Probe A"):
    """What the store holds of a sensor."""
    with session.read() as unit:
        sensor = sensors.need_sensor(unit, name)
        store = ReadingStore(unit.connection, session.kitchen.id)
        return store.get(sensor.id).temps_c.tolist()


def counts(intake):
    one = intake.counts
    return one.received, one.kept, one.known, one.refused


def test_readings_belong_to_the_sensor_of_their_topic(intake, kitchen, told):
    send(intake, message("4.5"), message("40.1 F", "b"))

    assert (kept(kitchen), kept(kitchen, "Probe B")) == ([4.5], [4.5])
    assert (counts(intake), told) == ((2, 2, 0, 0), [])


def test_an_unknown_topic_is_told_once_and_nothing_of_it_is_kept(intake, kitchen, told):
    send(intake, message("4.5", "attic"), message("4.6", "attic"), message("5"))
    send(intake, message("4.7", "attic"))

    assert counts(intake) == (4, 1, 0, 3)
    (line,) = told
    assert line.startswith("attic: no sensor is known for it")
    assert 'temp sensor topic SENSOR "attic"' in line
    assert kept(kitchen) == [5.0]


def test_a_topic_that_is_named_meanwhile_counts_from_the_next_batch(intake, kitchen):
    send(intake, message("4.5", "attic"))
    sensor_topics.set_topic(kitchen, "Probe A", "attic", "f")
    send(intake, message("41", "attic"))

    assert kept(kitchen) == [5.0]


@pytest.mark.parametrize(
    ("payload", "said"),
    [
        ("85", "Probe A: 85 °C at a jump is what a common sensor shows at power-on"),
        ("185 F", "Probe A: 85 °C at a jump"),
        ("-127", "a: -127 °C is what a common sensor says when it is not connected"),
        ("warm", "a: 'warm' is neither a number nor JSON"),
        ('{"temp": 4, "at": "2026-11-02T17:02:01Z"}', "Probe A: its time is in the fu"),
        ('{"temp": 4, "at": 86400}', "Probe A: its time is before 2001"),
        ("300", "a: 300 °C lies outside"),
    ],
)
def test_a_fault_is_told_once_and_good_readings_are_kept(
    intake, kitchen, told, payload, said
):
    for second in range(3):
        bad = message(payload, after_s=second)
        send(intake, bad, message("4.5", after_s=second + 0.5))

    assert kept(kitchen) == [4.5] * 3
    assert counts(intake) == (6, 3, 0, 3)
    assert len(told) == 1
    assert told[0].startswith(said)


def test_two_minutes_ahead_is_a_clock_that_runs_fast(intake, kitchen):
    """Noon in New York is 17:00 UTC that day."""
    send(intake, message('{"temp": 4, "at": "2026-11-02T17:02:00Z"}'))

    assert kept(kitchen) == [4.0]


def test_food_that_comes_close_degree_by_degree_may_pass_85(intake, kitchen):
    send(intake, message("66"), message("85", after_s=1), message("85", after_s=2))
    send(intake, message("85", after_s=3))

    assert kept(kitchen) == [66.0, 85.0, 85.0, 85.0]


def test_a_reading_long_ago_tells_nothing_of_a_jump(intake, kitchen):
    send(intake, message("70", after_s=-3601), message("85"))

    assert kept(kitchen) == [70.0]


def test_a_message_of_unknown_age_needs_a_time(intake, kitchen, told):
    timed = '{"temp": 5, "at": "2026-11-02T16:00:00Z"}'
    send(intake, message("9", is_retained=True), message(timed, is_retained=True))

    assert kept(kitchen) == [5.0]
    assert "its age is not known" in told[0]


def test_the_same_reading_twice_is_one_and_another_value_is_refused(
    intake, kitchen, told
):
    for temp in (5, 5, 6):
        send(intake, message(f'{{"temp": {temp}, "at": "2026-11-02T16:00:00Z"}}'))

    assert kept(kitchen) == [5.0]
    assert counts(intake) == (3, 1, 1, 1)
    assert told == [
        "Probe A: a reading came again; it is kept once",
        "Probe A: 5 °C is recorded for the moment of 6 °C",
    ]


def test_a_clock_that_steps_back_costs_no_reading(intake, kitchen, told):
    for payload in ("4", "5", "6"):
        send(intake, message(payload))

    assert kept(kitchen) == [4.0, 5.0, 6.0]
    assert (counts(intake), told) == ((3, 3, 0, 0), [])


def test_a_bare_number_that_the_broker_sends_again_is_kept_once(intake, kitchen, told):
    send(intake, message("4.5", number=1), message("4.5", number=2, after_s=1))
    # Another process, that knows only what is in the database.
    again = Intake(kitchen, now=lambda: at(NOON), tell=told.append)
    send(
        again,
        message("4.5", number=1, after_s=9, is_repeat=True),
        message("4.5", number=2, after_s=9.1, is_repeat=True),
        message("4.5", number=3, after_s=9.2, is_repeat=True),
    )

    assert kept(kitchen) == [4.5] * 3
    assert counts(again) == (3, 1, 2, 0)


def test_a_batch_that_fails_leaves_nothing_and_is_not_counted(
    intake, kitchen, told, monkeypatch
):
    def full(*_):
        raise StoreError("the disk is full")

    monkeypatch.setattr("lidclock.store.topics.Topics.remember", full)
    with pytest.raises(StoreError):
        send(intake, message("4.5", number=1), message("x"))
    monkeypatch.undo()

    assert (kept(kitchen), counts(intake), told) == ([], (0, 0, 0, 0), [])
    # It was not remembered either: the broker sends it again, and it is kept.
    send(intake, message("4.5", number=1, is_repeat=True))
    assert kept(kitchen) == [4.5]


def test_over_http_a_sensor_is_known_by_name_id_or_topic(intake, kitchen):
    with kitchen.read() as unit:
        sensor_id = sensors.need_sensor(unit, "Probe A").id
    temps.type_reading(kitchen, "Fridge", 4)
    names = ["probe a", sensor_id, "b", "Probe C", "Fridge, typed"]
    arrivals = [
        Arrival(name, at(NOON) - place * MINUTE, float(place))
        for place, name in enumerate(names)
    ]
    answers = intake.readings([*arrivals, ReadingError("x: no temperature")])

    assert answers[:3] == ["", "", ""]
    assert answers[3].startswith("Probe C: no sensor is known by that name")
    assert answers[4:] == [
        "Fridge, typed: this name is of what people type",
        "x: no temperature",
    ]
    assert (kept(kitchen), kept(kitchen, "Probe B")) == ([1.0, 0.0], [2.0])
    assert counts(intake) == (6, 3, 0, 3)


def test_over_http_a_clash_is_answered_in_its_place(intake):
    same = [Arrival("Probe A", at(NOON), temp) for temp in (4.0, 5.0, 4.0)]

    assert intake.readings(same) == [
        "",
        "Probe A: 4 °C is recorded for the moment of 5 °C",
        "",
    ]


def test_a_topic_is_of_one_sensor_and_can_be_forgotten(kitchen):
    moved = sensor_topics.set_topic(kitchen, "probe b", " a ", "f")

    assert (moved.topic, moved.sensor.name, moved.was) == ("a", "Probe B", "Probe A")
    assert [one.topic for one in sensor_topics.all_topics(kitchen)] == ["a", "b"]
    assert sensor_topics.forget_topic(kitchen, "a") == "a"
    with pytest.raises(UnknownThingError, match="no sensor has the topic 'a'; there a"):
        sensor_topics.forget_topic(kitchen, "a")


def test_what_people_type_speaks_under_no_topic(kitchen):
    temps.type_reading(kitchen, "Fridge", 4)

    with pytest.raises(RefusedError, match="holds what people type"):
        sensor_topics.set_topic(kitchen, "Fridge, typed", "c")


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({}, "say where readings come from"),
        ({"http": "8089", "topics": ["a"]}, "--topic goes with --mqtt"),
        ({"mqtt": "mqtt://h", "password": "x"}, "a password needs a name"),
        ({"mqtt": "mqtt://h", "authorities": "x"}, "--ca goes with an encrypted"),
        ({"mqtt": "mqtt://h", "topics": ["a#"]}, "names no topics"),
        ({"http": "0.0.0.0:1"}, "give a token as well"),
    ],
)
def test_what_does_not_fit_together_is_refused(asked, said):
    with pytest.raises(InputError, match=said):
        sources(**asked)


def test_a_secret_is_the_first_line_of_a_file_or_of_the_environment(tmp_path):
    file = tmp_path / "secret"
    file.write_text(" s3cret \nmore\n")

    assert secret(str(file), "other") == "s3cret"
    assert (secret(None, "other"), secret(None, None)) == ("other", "")
    file.write_text("\n")
    with pytest.raises(InputError, match="holds no secret"):
        secret(str(file), None)
    with pytest.raises(InputError, match="cannot be read"):
        secret(str(tmp_path / "absent"), None)
