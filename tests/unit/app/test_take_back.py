"""Taking back one act, whatever came after it, and only what this device recorded."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.app import corrections, moves, prep, setup
from lidclock.app.session import Session
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.errors import OddFactError, RefusedError

MORNING = datetime(2026, 11, 3, 12, 30, tzinfo=UTC)


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Test kitchen", "America/New_York"))
    return path


def at(path, hours, device="phone"):
    now = MORNING + timedelta(hours=hours)
    return Session.open(path, now=now, device=device)


def filled(path):
    session = at(path, 0)
    order = prep.Order(
        Food("soup", "soup-stew", ()), made_at=MORNING, place=session.place("Fridge")
    )
    with session.write() as unit:
        return prep.prep(unit, order).codes[0]


def test_an_earlier_act_is_taken_back_and_the_later_one_stays(path):
    code = filled(path)
    with at(path, 1).write() as unit:
        opened = moves.open_container(unit, code).act
    with at(path, 2).write() as unit:
        moves.freeze(unit, code)
    with at(path, 3).write() as unit:
        (event,) = corrections.take_back(unit, opened)
        assert event.kind == "opened"
        known = unit.view(code).container
    assert known.opened_at is None
    assert known.state == "freezer"


@pytest.mark.parametrize("device", ["tablet", ""])
def test_what_another_device_recorded_stays(path, device):
    code = filled(path)
    with at(path, 1).write() as unit:
        opened = moves.open_container(unit, code).act
    with at(path, 2, device).write() as unit, pytest.raises(RefusedError):
        corrections.take_back(unit, opened)


@pytest.mark.parametrize("act", ["", "no such act"])
def test_nothing_is_taken_back_without_an_act(path, act):
    filled(path)
    with at(path, 1).write() as unit, pytest.raises(RefusedError):
        corrections.take_back(unit, act)


def test_an_odd_fact_is_told_without_how_to_go_on_at_a_keyboard(path):
    code = filled(path)
    with at(path, 1).write() as unit:
        moves.use(unit, code)
    with at(path, 2).write() as unit, pytest.raises(OddFactError) as odd:
        moves.use(unit, code)

    assert odd.value.fact.endswith("(soup) was already used")
    assert str(odd.value).startswith(odd.value.fact)
    assert "--anyway" in str(odd.value)
