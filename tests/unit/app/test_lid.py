"""Which segments a lid has, worked out by hand on a calendar."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.app import moves, prep, setup
from lidclock.app.lid import HATCHED, LEFT, SPENT, Lid, lid_of_view, lids_of
from lidclock.app.lists import listed
from lidclock.app.session import Session
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen

# Tue 3 Nov 2026, 07:30 in New York; soup keeps 4 days, the making day being day 1
# (FoodSafety.gov, Cold Food Storage Chart: 3 to 4 days), so up to Fri 6 Nov.
MORNING = datetime(2026, 11, 3, 12, 30, tzinfo=UTC)
DAY = timedelta(days=1)


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Test kitchen", "America/New_York"))
    return path


def session_at(path, now):
    return Session.open(path, now=now, device="test")


def filled(path, *, house_days=None, category="soup-stew", place="Fridge"):
    session = session_at(path, MORNING)
    food = Food("soup", category, (), house_days=house_days)
    order = prep.Order(
        food, made_at=MORNING, place=session.place(place) if place else None
    )
    with session.write() as unit:
        (code,) = prep.prep(unit, order).codes
    session.close()
    return code


def lids(path, code, now):
    """The lid of the list and that of the container seen whole: they have to agree."""
    session = session_at(path, now)
    with session.read() as unit:
        known = unit.find(code)
        one = listed(session, known)
        (of_list,) = lids_of(unit, [one])
        of_view = lid_of_view(one, unit.view(code))
    session.close()
    assert of_list == of_view
    return of_list


def move(path, code, deed, now):
    session = session_at(path, now)
    with session.write() as unit:
        deed(unit, code)
    session.close()


@pytest.mark.parametrize(
    ("days_later", "segments", "word", "note"),
    [
        (0, (LEFT,) * 4, "Fri 6 Nov", "use by"),
        (2, (SPENT,) * 2 + (LEFT,) * 2, "Fri 6 Nov", "use by"),
        (3, (SPENT,) * 3 + (LEFT,), "today", "last day"),
        (4, (SPENT,) * 4, "over", "discard"),
        (9, (SPENT,) * 4, "over", "discard"),
    ],
)
def test_the_making_day_is_day_one_and_today_is_left(
    path, days_later, segments, word, note
):
    code = filled(path)

    assert lids(path, code, MORNING + days_later * DAY) == Lid(segments, word, note, 4)


def test_frozen_days_are_hatched_beside_those_before_the_freezer(path):
    code = filled(path)
    # Frozen on day 2: both days count, so 2 of 4 are left however long it is frozen.
    move(path, code, moves.freeze, MORNING + DAY)

    for days_later in (1, 40):
        found = lids(path, code, MORNING + days_later * DAY)
        assert found == Lid((SPENT,) * 2 + (HATCHED,) * 2, "frozen", "2 days left", 4)


def test_days_in_a_freezer_are_no_segments_once_it_is_thawed(path):
    code = filled(path)
    move(path, code, moves.freeze, MORNING + DAY)
    # Thawed on Thu 3 Dec, which is the third of its four days; the last is Fri 4 Dec.
    move(path, code, moves.thaw, MORNING + 30 * DAY)
    found = lids(path, code, MORNING + 30 * DAY)

    assert found == Lid((SPENT,) * 2 + (LEFT,) * 2, "Fri 4 Dec", "use by", 4)


def test_what_is_not_known_has_no_segments(path):
    code = filled(path, category="yeast-dough-raw")

    assert lids(path, code, MORNING) == Lid((), "?", "no last day")


def test_what_has_ended_says_how(path):
    code = filled(path)
    move(path, code, moves.use, MORNING + timedelta(hours=1))

    assert lids(path, code, MORNING + DAY) == Lid((), "used", "")


def test_an_hour_clock_says_the_hour(path):
    code = filled(path, place=None)
    found = lids(path, code, MORNING)

    # Two hours at room temperature from 07:30 (FoodSafety.gov, 2-hour rule).
    assert (found.word, found.note, found.days) == ("till 09:30", "last day", 1)


@pytest.mark.parametrize(
    ("days_later", "spent"),
    # 60 days in 31 segments: what is gone is rounded up, 1 day to one segment, 30 days
    # to 15.5 and so 16; on the last day one segment is left, and after it none.
    [(0, 0), (1, 1), (30, 16), (59, 30), (60, 31)],
)
def test_of_many_days_the_ring_never_shows_more_left_than_there_is(
    path, days_later, spent
):
    code = filled(path, category="yeast-dough-raw", house_days=60)
    found = lids(path, code, MORNING + days_later * DAY)

    assert found.is_thinned
    assert found.days == 60
    assert found.segments == (SPENT,) * spent + (LEFT,) * (31 - spent)
