"""Readings of places and of coolings, as devices tell them."""

from datetime import timedelta

import pytest

from lidclock.app import cooling_page, prep, temps
from lidclock.app.devices import receive
from lidclock.app.temp_page import place_now, readings_of
from lidclock.domain.foods import Food
from lidclock.domain.sentences import Sentence

WEEK = timedelta(days=7)
AT = "2026-11-03T17:30:00-05:00"


def an_id(number):
    return f"019a0000-0000-7000-8000-{number:012x}"


def told(number, temp_c, place="Fridge", at=AT, **more):
    return {
        "id": an_id(number),
        "kind": "measured",
        "subject": f"place/{place}",
        "happened_at": at,
        "body": {"temp_c": temp_c, **more},
    }


@pytest.fixture
def session(opened):
    return opened("2026-11-03T18:00", "ann")


def send(session, *events):
    return receive(session, events, session.now).results


def temps_in(session, place="Fridge"):
    return [one.temp_c for one in readings_of(session, place, WEEK)]


def test_a_reading_keeps_both_times_and_who_it_was(session):
    (one,) = send(session, told(1, 3.5))

    (kept,) = readings_of(session, "Fridge", WEEK)
    assert (one.result, one.says) == ("recorded", "Fridge: 3.5 °C")
    assert (kept.temp_c, kept.who, kept.device) == (3.5, "ann", "test")
    assert session.now - kept.at == timedelta(minutes=30)
    assert kept.recorded_at == session.now


def test_sent_twice_it_counts_once(session, opened):
    send(session, told(1, 3.5))
    later = opened("2026-11-03T19:00", "ben")

    assert [one.result for one in send(later, told(1, 3.5))] == ["known"]
    assert temps_in(later) == [3.5]


def test_a_clock_that_is_ahead_counts_once_too(session, opened):
    ahead = told(1, 3.5, at="2026-11-03T18:40:00-05:00")
    send(session, ahead)
    later = opened("2026-11-03T18:20")

    assert [one.result for one in send(later, ahead)] == ["known"]
    (kept,) = readings_of(later, "Fridge", WEEK)
    assert kept.at == session.now


def test_too_warm_is_told_at_once(session):
    (one,) = send(session, told(1, 9.0))

    assert one.says == (
        "Fridge: 9 °C, above its limit of 4.4 °C: door? power? move the food?"
    )
    assert place_now(session, "Fridge").kind == "excursion"


@pytest.mark.parametrize(
    ("event", "why"),
    [
        (told(1, 38.0), "38 °C is unusual for a fridge"),
        (told(1, -127.0), "not connected"),
        (told(1, 3.5, "Attic"), "no place 'Attic'"),
        (told(1, "3.5"), "temp_c is a number"),
        (told(1, 3.5, door="open"), "may hold"),
        ({**told(1, 3.5), "body": None}, "an object with temp_c"),
        (told(1, 3.5, at="yesterday"), "a time with its offset"),
    ],
)
def test_what_cannot_be_is_refused_in_words(session, event, why):
    (one,) = send(session, event)

    assert one.result == "refused"
    assert why in one.says
    assert "--" not in one.says
    assert temps_in(session) == []


def test_what_looks_like_a_slip_is_taken_where_it_is_so(session):
    (one,) = send(session, told(1, 38.0, anyway=True))

    assert one.result == "recorded"
    assert temps_in(session) == [38.0]


def test_another_reading_under_the_same_id_is_refused(session):
    one, other = send(session, told(1, 3.5), told(1, 4.0))

    assert (one.result, other.result) == ("recorded", "refused")
    assert temps_in(session) == [3.5]


def test_another_value_of_the_same_second_is_refused_and_told(session):
    temps.type_reading(session, "Fridge", 4.0)
    again = told(1, 4.5, at="2026-11-03T18:00:00-05:00")
    (one,) = send(session, again)

    assert one.result == "refused"
    assert "said 4 °C at that very time already" in one.says


def test_one_that_is_refused_holds_up_no_other(session):
    results = send(session, told(1, 38.0), told(2, 3.5))

    assert [one.result for one in results] == ["refused", "recorded"]


@pytest.fixture
def batch(opened):
    """Two boxes of stew that cool as one batch since 17:00, and the batch's id."""
    five = opened("2026-11-03T17:00")
    order = prep.Order(
        Food("stew", "soup-stew", ()), 2, portion_g=300, place=five.place("Fridge")
    )
    with five.write() as unit:
        prep.prep(unit, order)
    act = cooling_page.Act("start", "1", temp_c=80.0, depth_mm=50.0)
    cooling_page.act(five, act)
    (log,) = cooling_page.open_logs(five)
    return log.subject


def read(batch, temp_c, number=1, **body):
    return {
        "id": an_id(number),
        "kind": "cooled",
        "subject": batch,
        "happened_at": AT,
        "body": {"phase": "read", "temp_c": temp_c, **body},
    }


def test_a_whole_batch_is_read_without_a_signal(session, batch):
    results = [send(session, read(batch, 44.44))[0].result for _ in range(2)]

    assert results == ["recorded", "known"]
    (log,) = cooling_page.open_logs(session)
    # To a tenth, as a probe shows it.
    assert [entry.temp_c for entry in log.entries] == [80.0, 44.4]
    assert log.entries[-1].who == "ann"
    assert len(log.codes) == 2


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"subject": an_id(9)}, "no batch of this kitchen"),
        ({"body": {"phase": "finish", "temp_c": 4.0}}, "phase is read"),
        ({"body": {"phase": "read"}}, "needs its temp_c"),
        ({"happened_at": "2026-11-03T12:00:00-05:00"}, "before"),
    ],
)
def test_a_cooling_takes_only_readings_of_its_time(session, batch, change, why):
    (one,) = send(session, {**read(batch, 44.0), **change})

    assert one.result == "refused"
    assert why in one.says
    assert len(cooling_page.open_logs(session)[0].entries) == 1


def test_what_is_told_can_be_said_in_another_language(session):
    """What is plain text stays English on every page."""
    (fresh,) = send(session, told(1, 9))
    (again,) = send(session, told(1, 9))

    assert "door? power? move the food?" in fresh.says
    assert isinstance(fresh.says, Sentence)
    assert isinstance(again.says, Sentence)
