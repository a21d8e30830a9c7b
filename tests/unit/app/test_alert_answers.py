"""Alerts that somebody answered: quiet while it holds, and back when it does not."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from lidclock.app import cooling, corrections, moves, prep, sensors, temps, transfer
from lidclock.app.alert_answers import answer_alert, told_of
from lidclock.app.alert_list import alerts_found
from lidclock.app.alerts_page import alerts_now, count_alerts
from lidclock.app.cooling_target import target_of
from lidclock.app.prep import Order
from lidclock.domain.alert_answers import ALERT_SUBJECT, check_alert_answers
from lidclock.domain.events import Event
from lidclock.domain.foods import Food
from lidclock.errors import InputError, RefusedError
from lidclock.store import Kitchens
from lidclock.templog.series import micros

from .conftest import at

STEW = Food("stew", "soup-stew", ())
OLD = at("2026-10-20T12:00")


def box(session, made=OLD, place="Fridge"):
    where = session.place(place) if place else None
    with session.write() as unit:
        order = Order(STEW, 1, portion_g=300, place=where, made_at=made)
        return prep.prep(unit, order).codes[0]


def waiting(session):
    return [one.kind for one in alerts_found(session) if one.answered is None]


def answer_first(session, answer="seen-to"):
    first = next(one for one in alerts_found(session) if one.answered is None)
    return answer_alert(session, first.key, answer)


def answers(session):
    """Every event that answers an alert, taken back or not."""
    with session.read() as unit:
        events = unit.ledger.starting(ALERT_SUBJECT)
    return [one for one in events if one.kind == "noted"]


def test_an_answered_alert_leaves_the_count_and_stays_in_the_list(opened):
    session = opened("2026-11-03T10:00", who="ann")
    code = box(session)
    assert count_alerts(session) == 1

    answer_first(session, "mine")

    assert count_alerts(session) == 0
    (line,) = alerts_now(session)
    given = line.answered.given
    assert (line.code, line.kind) == (code, "over")
    assert (given.answer, given.who, given.at) == ("mine", "ann", session.now)


def test_what_is_over_comes_back_at_the_next_card_hour(opened):
    """The card of this kitchen speaks at 07:30."""
    session = opened("2026-11-03T10:00")
    box(session)
    answer_first(session)

    assert waiting(opened("2026-11-04T07:29")) == []
    assert waiting(opened("2026-11-04T07:30")) == ["over"]


def test_what_ends_soon_comes_back_once_it_is_the_last_day(opened):
    box(opened("2026-10-30T18:00"), at("2026-10-30T18:00"))
    session = opened("2026-11-01T22:00")
    assert waiting(session) == ["soon"]
    answer_first(session)

    assert waiting(opened("2026-11-01T23:59")) == []
    assert waiting(opened("2026-11-02T00:00")) == ["last-day"]


def test_another_date_is_another_alert(opened):
    session = opened("2026-11-03T10:00")
    code = box(session)
    answer_first(session)
    later = opened("2026-11-03T10:05")
    with later.write() as unit:
        change = corrections.Change(made_at=at("2026-10-21T12:00"))
        corrections.correct_container(unit, code, change)

    assert waiting(later) == ["over"]


def test_what_goes_missing_is_another_alert(opened):
    session = opened("2026-11-03T10:00")
    code = box(session)
    answer_first(session)
    with session.write() as unit:
        moves.missing(unit, code)

    assert waiting(session) == ["missing"]


def test_the_same_answer_twice_is_one_event(opened):
    session = opened("2026-11-03T10:00", who="ann")
    box(session)
    first = answer_first(session)
    again = answer_alert(session, first.key, "seen-to")

    assert len(answers(session)) == 1
    assert again.answered == first.answered


def test_the_latest_answer_counts_whoever_gives_it(opened):
    session, other = (opened("2026-11-03T10:00", who=one) for one in ("ann", "ben"))
    box(session)
    key = answer_first(session, "mine").key
    answer_alert(other, key, "mine")
    found = answer_alert(other, key, "seen-to")

    given = found.answered.given
    assert (given.answer, given.who) == ("seen-to", "ben")
    assert len(answers(session)) == 3


def test_an_answer_can_be_taken_back(opened):
    session = opened("2026-11-03T10:00")
    box(session)
    act = answer_first(session).answered.given.act
    with session.read() as unit:
        assert told_of(unit, act).answer == "seen-to"
    with session.write() as unit:
        corrections.undo(unit)

    assert waiting(session) == ["over"]
    assert len(answers(session)) == 1
    with session.read() as unit:
        assert told_of(unit, act) is None


def test_what_is_no_longer_so_takes_no_answer(opened):
    session = opened("2026-11-03T10:00")
    code = box(session)
    (found,) = alerts_found(session)
    with session.write() as unit:
        moves.discard(unit, code, "past its day")

    with pytest.raises(RefusedError, match="no longer so"):
        answer_alert(session, found.key, "seen-to")
    with pytest.raises(InputError, match="seen-to, mine"):
        answer_alert(session, found.key, "whatever")
    assert answers(session) == []


def readings(session, temps_c, began):
    """One reading every five minutes of the probe in the fridge."""
    probe = sensors.add_sensor(session, "Probe A", "Fridge", since=OLD)
    keep(session, probe, temps_c, began)
    return probe


def keep(session, probe, temps_c, began):
    times = micros(at(began)) + np.arange(len(temps_c)) * 300_000_000
    with session.write() as unit:
        temps.keep_readings(unit, probe, times, temps_c)


def test_a_place_beyond_its_limit_comes_back_after_an_hour(opened):
    session = opened("2026-11-03T11:00")
    probe = readings(session, [3.0] + [12.0] * 36, "2026-11-03T08:00")
    assert waiting(session) == ["excursion"]
    answer_first(session, "mine")

    later = opened("2026-11-03T12:00")
    keep(later, probe, [12.0] * 12, "2026-11-03T11:05")
    assert waiting(opened("2026-11-03T11:59")) == []
    assert waiting(opened("2026-11-03T12:00")) == ["excursion"]


def test_a_new_excursion_is_a_new_alert(opened):
    """Warm from 08:00; answered at 11:00, cold from 11:05 to 11:15, warm again."""
    session = opened("2026-11-03T11:00")
    probe = readings(session, [3.0] + [12.0] * 36, "2026-11-03T08:00")
    answer_first(session, "mine")
    later = opened("2026-11-03T11:50")
    keep(later, probe, [3.0] * 3 + [15.0] * 7, "2026-11-03T11:05")

    assert waiting(later) == ["excursion"]


def test_what_cools_comes_back_within_half_an_hour(opened):
    """The Food Code's first stage ends two hours after 57 °C (3-501.14(A)(1))."""
    session = opened("2026-11-03T12:00")
    with session.database.begin() as connection:
        kitchen = replace(session.kitchen, guidance="us-food-code")
        Kitchens(connection).update(kitchen)
    session.adopt_kitchen(kitchen)
    code = box(session, at("2026-11-03T12:00"))
    with session.write() as unit:
        cooling.start(unit, target_of(unit, code), cooling.Setting(), temp_c=60.0)
    before = opened("2026-11-03T13:40")
    assert "cooling" in waiting(before)
    answer_first(before, "mine")

    assert "cooling" not in waiting(opened("2026-11-03T13:59"))
    assert "cooling" in waiting(opened("2026-11-03T14:01"))


def test_answers_go_out_and_come_in_and_count_once(opened):
    session = opened("2026-11-03T10:00", who="ann")
    box(session)
    answer_first(session)
    with session.read() as unit:
        document = transfer.read_lines(transfer.export_lines(unit), "export")
    with session.write() as unit:
        assert transfer.import_events(unit, document.events) == 0

    assert [one.body["answer"] for one in document.events if "answer" in one.body] == [
        "seen-to"
    ]
    assert waiting(session) == []


BODY = {"key": "over/4F7K2M0/x", "answer": "seen-to", "alert": {"kind": "over"}}


def noted(body, subject="alert/2026-11-03"):
    now = datetime(2026, 11, 3, 12, tzinfo=UTC)
    return [Event("1", "noted", subject, now, now, "UTC", body=body)]


@pytest.mark.parametrize(
    "change",
    [
        {"key": 7},
        {"key": "x" * 501},
        {"answer": "later"},
        {"alert": ["over"]},
        {"alert": {"kind": 7}},
        {"alert": {"food": "x" * 301}},
    ],
)
def test_an_answer_that_could_not_be_read_later_is_refused(change):
    check_alert_answers(noted(BODY))
    with pytest.raises(InputError, match="alert/2026-11-03"):
        check_alert_answers(noted({**BODY, **change}))
    with pytest.raises(InputError, match="alert/someday"):
        check_alert_answers(noted(BODY, "alert/someday"))


def test_an_answer_from_a_time_to_come_keeps_nothing_quiet_yet(opened):
    session = opened("2026-11-03T10:00")
    box(session)
    answer_first(opened("2026-11-03T12:00"))

    assert waiting(session) == ["over"]
    assert waiting(opened("2026-11-03T12:00")) == []
    assert timedelta(0) < alerts_found(opened("2026-11-03T12:00"))[
        0
    ].answered.until - at("2026-11-03T12:00")
