"""What devices send: what is recorded, known or refused, and in which words."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest

from lidclock.app import prep, transfer
from lidclock.app.devices import receive
from lidclock.app.parcels import MOST_EVENTS
from lidclock.domain.foods import Food
from lidclock.errors import InputError

NOON = "2026-11-03T12:00"
LATER = "2026-11-03T18:00"


def an_id(number: int, version: str = "7") -> str:
    return f"019a0000-0000-{version}000-8000-{number:012x}"


def told(number, kind, code, happened_at, /, **body):
    return {
        "id": an_id(number),
        "kind": kind,
        "subject": code,
        "happened_at": happened_at,
        "body": body,
    }


@pytest.fixture
def kitchen(opened):
    """A kitchen at 18:00 with two boxes of stew made at noon, and their codes."""
    noon = opened(NOON)
    order = prep.Order(
        Food("stew", "soup-stew", ()), 2, portion_g=300, place=noon.place("Fridge")
    )
    with noon.write() as unit:
        codes = prep.prep(unit, order).codes
    return opened(LATER, "ann"), codes


def send(session, *events):
    return receive(session, events, session.now).results


def outcome(session, *events):
    return [one.result for one in send(session, *events)]


def row(session, code):
    with session.read() as unit:
        return unit.snapshots.get(code)


def event(session, number):
    with session.read() as unit:
        return unit.ledger.get(an_id(number))


AT = "2026-11-03T14:00:00-05:00"


def test_a_scan_is_recorded_and_told(kitchen):
    session, (code, _) = kitchen
    (one,) = send(session, told(1, "placed", code, AT, place="freezer"))

    assert (one.result, one.contradiction) == ("recorded", False)
    assert ": frozen; " in one.says
    assert row(session, code).state == "freezer"


def test_who_and_which_device_come_from_the_session_and_the_time_from_the_server(
    kitchen,
):
    session, (code, _) = kitchen
    send(session, told(1, "used", code, AT))
    known = event(session, 1)

    assert (known.who, known.device) == ("ann", "test")
    assert known.recorded_at == session.now
    assert known.happened_at == session.now - timedelta(hours=4)


def test_the_same_event_again_is_known_and_changes_nothing(kitchen):
    session, (code, _) = kitchen
    one = told(1, "placed", code, AT, place="Freezer")
    assert outcome(session, one, one) == ["recorded", "known"]
    with session.read() as unit:
        before = unit.snapshots.dump()

    assert outcome(session, one) == ["known"]
    with session.read() as unit:
        assert unit.snapshots.dump() == before


def test_another_event_under_a_known_id_is_refused(kitchen):
    session, (code, other) = kitchen
    send(session, told(1, "used", code, AT))

    for changed in (
        told(1, "opened", code, AT),
        told(1, "used", other, AT),
        told(1, "used", code, "2026-11-03T14:00:01-05:00"),
    ):
        (one,) = send(session, changed)
        assert one.result == "refused"
        assert "another event has that id" in one.says


def test_a_use_after_the_end_is_recorded_and_told_as_a_contradiction(kitchen):
    session, (code, _) = kitchen
    send(session, told(1, "used", code, "2026-11-03T14:25:00-05:00"))
    (one,) = send(
        session, told(2, "placed", code, "2026-11-03T14:30:00-05:00", place="Freezer")
    )

    assert one.result == "recorded"
    assert one.contradiction
    assert "a contradiction, kept" in one.says
    assert row(session, code).end_kind == "used"


def test_a_contradiction_is_told_again_where_the_answer_was_lost(kitchen):
    session, (code, _) = kitchen
    send(session, told(1, "used", code, "2026-11-03T14:25:00-05:00"))
    late = told(2, "placed", code, "2026-11-03T14:30:00-05:00", place="Freezer")
    (first,), (again,) = send(session, late), send(session, late)

    assert (again.result, again.contradiction) == ("known", True)
    assert again.says == first.says
    # Taken back it contradicts nothing any more.
    undo = {"event": an_id(2), "void": True}
    send(session, told(3, "corrected", code, "2026-11-03T14:31:00-05:00", **undo))
    (after,) = send(session, late)
    assert (after.result, after.contradiction) == ("known", False)


def test_an_end_that_makes_later_facts_impossible_is_told_too(kitchen):
    """Frozen at 14:30 by one, used at 14:25 by another that comes back later."""
    session, (code, _) = kitchen
    send(session, told(2, "placed", code, "2026-11-03T14:30:00-05:00", place="Freezer"))
    (one,) = send(session, told(1, "used", code, "2026-11-03T14:25:00-05:00"))

    assert one.contradiction


def test_frozen_after_its_last_moment_is_recorded_and_told(opened, kitchen):
    _, (code, _) = kitchen
    # Stew from Tue 3 Nov: four days end with Fri 6 Nov.
    late = opened("2026-11-09T08:00")
    (one,) = send(
        late, told(1, "placed", code, "2026-11-08T08:00:00-05:00", place="Freezer")
    )

    assert one.result == "recorded"
    assert "past its last moment" in one.says
    assert row(late, code).state == "freezer"


def test_a_time_to_come_is_recorded_as_now_with_the_devices_own_beside_it(kitchen):
    session, (code, _) = kitchen
    ahead = told(1, "opened", code, "2026-11-03T18:30:00-05:00")
    received = receive(session, [ahead], session.now + timedelta(minutes=30))

    assert received.results[0].result == "recorded"
    assert event(session, 1).happened_at == session.now
    assert event(session, 1).body["device_at"] == "2026-11-03T23:30:00+00:00"
    assert received.remark == (
        "this device's clock is 30 min ahead of the kitchen's: set it"
    )
    # Sent again when that time has come, it is the same.
    session.now += timedelta(hours=2)
    assert outcome(session, ahead) == ["known"]


def test_a_clock_two_minutes_off_is_near_enough(kitchen):
    session, _ = kitchen

    assert receive(session, [], session.now - timedelta(minutes=2)).remark == ""
    assert "behind" in receive(session, [], session.now - timedelta(seconds=121)).remark


def test_before_it_was_made_is_refused_and_the_rest_is_recorded(kitchen):
    session, (code, other) = kitchen
    early = told(1, "opened", code, "2026-11-03T11:59:00-05:00")
    answers = send(session, early, told(2, "opened", other, AT))

    assert [one.result for one in answers] == ["refused", "recorded"]
    assert "before" in answers[0].says
    assert event(session, 1) is None
    assert row(session, other).opened_at is not None


def test_an_undo_takes_back_what_the_device_sent_even_within_one_sending(kitchen):
    session, (code, _) = kitchen
    used = told(1, "used", code, AT)
    undo = told(2, "corrected", code, AT, event=an_id(1), void=True)

    assert outcome(session, undo, used) == ["recorded", "recorded"]
    assert row(session, code).is_live


def test_an_undo_may_stand_before_a_long_queue(kitchen):
    """So many that they are several transactions; the answers come as it was sent."""
    session, (code, other) = kitchen
    undo = told(9_000, "corrected", code, AT, event=an_id(8_999), void=True)
    between = [told(number, "opened", other, AT) for number in range(600)]
    answers = send(session, undo, None, *between, told(8_999, "used", code, AT))

    assert [one.id for one in answers] == [
        an_id(9_000),
        "",
        *map(an_id, range(600)),
        an_id(8_999),
    ]
    assert [one.result for one in answers if one.result != "recorded"] == ["refused"]
    assert row(session, code).is_live


def test_nobody_takes_back_what_another_device_sent(kitchen):
    session, (code, other) = kitchen
    send(session, told(1, "used", code, AT))
    session.device = "another"
    for subject, target in ((code, 1), (code, 9), (other, 1)):
        (one,) = send(
            session,
            told(20 + target, "corrected", subject, AT, event=an_id(target), void=True),
        )
        assert one.result == "refused"
    assert row(session, code).end_kind == "used"


def test_what_was_taken_back_is_not_taken_back_again(kitchen):
    session, (code, _) = kitchen
    send(session, told(1, "used", code, AT))
    send(session, told(2, "corrected", code, AT, event=an_id(1), void=True))
    (one,) = send(session, told(3, "corrected", code, AT, event=an_id(2), void=True))

    assert one.result == "refused"


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("placed", {"place": "Freezer", "state": "freezer", "temp_c": -18}),
        (
            "placed",
            {"place": "Fridge", "ready_at": "2026-11-04T14:00:00-05:00"},
        ),
        ("opened", {}),
        ("used", {}),
        ("discarded", {"reason": "smelled"}),
        ("discarded", {}),
        ("given", {"to": "a neighbour"}),
        ("taken", {"mass_g": 120}),
        ("cooled", {"temp_c": 4.5}),
        ("reheated", {"temp_c": 75}),
        ("missing", {}),
        ("found", {}),
    ],
)
def test_every_kind_a_device_may_say_is_recorded_and_known_again(kitchen, kind, body):
    session, (code, _) = kitchen
    one = told(1, kind, code, AT, **body)

    assert outcome(session, one) == ["recorded"]
    assert outcome(session, one) == ["known"]
    with session.write() as unit:
        assert transfer.rebuild(unit)


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("made", {"number": 1, "food": "x"}),
        ("filled", {"food": "x"}),
        ("labelled", {}),
        ("noted", {"food": {"name": "x", "category": "y"}}),
        ("split", {"into": {}}),
        ("combined", {"from": []}),
        ("measured", {}),
        (None, {}),
        ([], {}),
        ("placed", {}),
        ("placed", {"place": "nowhere"}),
        ("placed", {"place": 3}),
        ("placed", {"place": "Freezer", "state": "fridge"}),
        ("placed", {"place": "Freezer", "temp_c": float("inf")}),
        ("placed", {"place": "Freezer", "temp_c": 10**400}),
        ("placed", {"place": "Freezer", "temp_c": True}),
        ("placed", {"place": "Freezer", "temp_c": 300}),
        ("placed", {"place": "Freezer", "more": 1}),
        ("placed", {"place": "Fridge", "ready_at": "2026-11-03T13:00:00-05:00"}),
        ("used", {"reason": "x"}),
        ("discarded", {"reason": "x" * 201}),
        ("discarded", {"reason": "\ud800"}),
        ("given", {}),
        ("given", {"to": "   "}),
        ("taken", {}),
        ("taken", {"mass_g": 0}),
        ("taken", {"mass_g": 0.04}),
        ("taken", {"mass_g": -5}),
        ("taken", {"mass_g": float("nan")}),
        ("taken", {"mass_g": "120"}),
        ("taken", {"mass_g": 1e8}),
        ("cooled", {"temp_c": 4, "phase": "begun"}),
        ("corrected", {}),
        ("corrected", {"event": an_id(1), "void": False}),
        ("corrected", {"event": an_id(1), "set": {"mass_g": 1}}),
        ("corrected", {"event": 7, "void": True}),
    ],
)
def test_what_cannot_be_a_fact_is_refused_with_words(kitchen, kind, body):
    session, (code, _) = kitchen
    (one,) = send(session, told(1, kind, code, AT, **body))

    assert one.result == "refused"
    assert 10 < len(one.says) < 300
    one.says.encode()
    assert event(session, 1) is None


@pytest.mark.parametrize(
    "change",
    [
        {"id": an_id(1, version="4")},
        {"id": an_id(1).replace("8000", "0000")},
        {"id": an_id(1).upper()},
        {"id": "x" * 5000},
        {"id": "\ud800"},
        {"id": None},
        {"subject": "0000000"},
        {"subject": "x" * 9999},
        {"subject": None},
        {"happened_at": "2026-11-03T14:00:00"},
        {"happened_at": "yesterday"},
        {"happened_at": "0001-01-01T00:00:00+23:59"},
        {"happened_at": "9999-12-31T23:59:59-23:59"},
        {"happened_at": 1762196400},
        {"happened_at": None},
        {"body": []},
        {"body": None},
        {"recorded_at": AT},
        {"who": "somebody else"},
    ],
)
def test_a_malformed_event_is_refused_alone(kitchen, change):
    session, (code, other) = kitchen
    bad = {**told(1, "used", code, AT), **change}
    answers = send(session, bad, told(2, "used", other, AT))

    assert [one.result for one in answers] == ["refused", "recorded"]
    json.dumps([one.as_dict() for one in answers], ensure_ascii=False).encode()


@pytest.mark.parametrize("bad", [None, 1, "x", [], {}, [[]]])
def test_what_is_no_event_is_refused(kitchen, bad):
    session, _ = kitchen

    assert outcome(session, bad) == ["refused"]


def test_a_code_of_another_kitchen_is_refused(kitchen):
    session, _ = kitchen
    (one,) = send(session, told(1, "used", "000000F", AT))

    assert one.result == "refused"
    assert "seven symbols" in one.says


def test_a_code_may_be_written_as_people_write_it(kitchen):
    session, (code, _) = kitchen

    assert outcome(session, told(1, "used", f" {code[:3]} {code[3:].lower()}", AT)) == [
        "recorded"
    ]


def test_more_than_are_taken_at_once_is_refused_whole(kitchen):
    session, _ = kitchen

    with pytest.raises(InputError, match="at most 10000"):
        receive(session, [None] * (MOST_EVENTS + 1), session.now)


def test_ten_thousand_events_at_once(kitchen):
    """Moved to and fro all afternoon; one of them is of another kitchen."""
    session, codes = kitchen
    events = [
        told(
            number,
            "placed",
            codes[number % 2],
            f"2026-11-03T14:{number // 60 % 60:02}:{number % 60:02}.{number:06}-05:00",
            place="Counter" if number % 3 else "Fridge",
        )
        for number in range(MOST_EVENTS - 1)
    ]
    answers = outcome(session, *events, told(MOST_EVENTS, "used", "000000F", AT))

    assert answers == ["recorded"] * (MOST_EVENTS - 1) + ["refused"]
    with session.write() as unit:
        assert transfer.rebuild(unit)
