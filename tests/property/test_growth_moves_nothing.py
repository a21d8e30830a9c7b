"""Promise 5 at the command: whatever a model makes of a container, no limit moves.

Histories, foods and readings are generated; the verdict before is the verdict after,
with and without readings, and what is made of them is no reason for any other.
"""

from __future__ import annotations

import subprocess
import sys
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidclock.app import moves, prep, setup, temps
from lidclock.app.assess import verdict_json
from lidclock.app.growth_container import Asked, foretell, foretell_view
from lidclock.app.prep import Order
from lidclock.app.session import Session
from lidclock.clock import judge
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.templog.course import Course
from lidclock.templog.series import seconds
from strategies import ALL_SETS, all_set_ids, cases, minutes

HOUR = timedelta(hours=1)
later = st.integers(0, 40 * 1440).map(minutes)
temperatures = st.floats(-25, 75).map(float)


@st.composite
def finds(draw, began):
    """What places did: no readings, or a course with gaps over twenty days."""
    if draw(st.booleans()):
        return lambda _: None
    hours = sorted(draw(st.sets(st.integers(-48, 480), min_size=2, max_size=12)))
    times = seconds(began) + np.array(hours) * 3600.0
    temps_c = np.array([draw(temperatures) for _ in hours])
    gaps = np.array([draw(st.booleans()) for _ in hours[1:]], dtype=np.bool_)
    course = Course(times, temps_c, gaps)
    return lambda _: course


def seen(case, set_id, now):
    """A container as the app sees it, without a kitchen around it."""
    zone, food, history = case
    verdict = judge(food, history, ALL_SETS[set_id], zone=zone, now=now)
    container = SimpleNamespace(
        cooling=None, coolings=history.coolings, reheated=list(history.reheatings())
    )
    inventory = SimpleNamespace(history_of=lambda _: history)
    return SimpleNamespace(
        verdict=verdict, food=food, container=container, inventory=inventory
    )


@given(cases(), all_set_ids, later, st.data())
@settings(max_examples=settings.default.max_examples // 4)
def test_a_verdict_is_the_same_before_and_after_any_prediction(
    case, set_id, after, data
):
    began = case[2].made_at
    view = seen(case, set_id, began + after)
    before = repr(case), verdict_json(view.verdict)
    session = SimpleNamespace(now=began + after, guidance=ALL_SETS[set_id])
    told = foretell_view(
        view,
        session,
        data.draw(finds(began)),
        Asked(doublings=data.draw(st.floats(0.1, 40))),
    )

    assert (repr(case), verdict_json(view.verdict)) == before
    assert verdict_json(seen(case, set_id, began + after).verdict) == before[1]
    assert told.view.verdict is view.verdict
    assert told.last_moment == view.verdict.last_moment


@given(cases(), all_set_ids, later, st.data())
@settings(max_examples=settings.default.max_examples // 4)
def test_it_only_ever_warns_earlier(case, set_id, after, data):
    """A warning lies before the last moment; the rest is said to be no such thing."""
    view = seen(case, set_id, case[2].made_at + after)
    session = SimpleNamespace(now=view.verdict.now, guidance=ALL_SETS[set_id])
    find = data.draw(finds(case[2].made_at))
    told = foretell_view(view, session, find, Asked(doublings=5))

    for one in told.passings:
        is_early = told.last_moment is not None and one.at < told.last_moment
        assert (one.early is not None) == is_early
        assert one.early is None or one.early > timedelta(0)
    if told.by_now is not None:
        assert 0 <= told.by_now.low <= told.by_now.mid <= told.by_now.high
    assert told.is_known or told.unknown


@given(cases(depth=0), all_set_ids, st.data())
@settings(max_examples=settings.default.max_examples // 4)
def test_a_warmer_fridge_never_warns_later(case, set_id, data):
    """Up to 21 °C, where no law here has passed its optimum."""
    began = case[2].made_at
    view = seen(case, set_id, began)
    session = SimpleNamespace(now=began, guidance=ALL_SETS[set_id])
    low, high = sorted(data.draw(st.tuples(st.floats(-2, 21), st.floats(-2, 21))))
    first = [seconds(began) - 86_400, seconds(began) + 90 * 86_400]

    def passed(temp_c):
        course = Course(np.array(first), np.full(2, temp_c), np.zeros(1, np.bool_))
        told = foretell_view(view, session, lambda _: course, Asked(doublings=5))
        return min((one.at for one in told.passings), default=None)

    cold, warm = passed(low), passed(high)
    assert cold is None or (warm is not None and warm <= cold + timedelta(seconds=1))


@given(
    st.lists(
        st.tuples(
            st.sampled_from(("Fridge", "Freezer", "Counter")),
            st.integers(1, 40),
            st.floats(-20, 40).map(lambda c: round(c, 1)),
        ),
        max_size=6,
    )
)
@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_looking_at_growth_leaves_the_database_as_it_is(tmp_path_factory, steps):
    """Verdicts, rows and ledger of a real kitchen with readings, before and after."""
    path = tmp_path_factory.mktemp("growth") / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Story", "America/New_York"))
    now = datetime(2026, 11, 2, 12, tzinfo=UTC)
    with_session(path, now, fill)
    for place, hours, temp_c in steps:
        now += hours * HOUR
        with_session(path, now, lambda session, p=place, c=temp_c: step(session, p, c))

    before = with_session(path, now, state)
    with_session(path, now, predicted)
    assert with_session(path, now, state) == before


def with_session(path, now, act):
    session = Session.open(path, now=now, device="test")
    try:
        return act(session)
    finally:
        session.close()


def fill(session):
    food = Food("soup", "soup-stew", allergens=())
    with session.write() as unit:
        prep.prep(unit, Order(food=food, count=2))


def step(session, place, temp_c):
    temps.type_reading(session, place, temp_c, anyway=True)
    with session.write() as unit:
        for one in unit.snapshots.find():
            moves.place(unit, one.code, session.place(place), anyway=True)


def state(session):
    with session.read() as unit:
        codes = sorted(one.code for one in unit.snapshots.find())
        return (
            [
                (verdict_json(unit.view(code).verdict), unit.snapshot(code))
                for code in codes
            ],
            len(list(unit.ledger.all())),
        )


def predicted(session):
    with session.read() as unit:
        for one in unit.snapshots.find():
            assert foretell(unit, one.code, Asked(doublings=2)).stretches


def test_nothing_that_makes_limits_loads_a_model():
    """Import paths as they are at run time, not as the table of layers has them."""
    script = (
        "import sys, lidclock.clock, lidclock.guidance.sets, lidclock.domain.fold\n"
        "models = ('lidclock.kinetics', 'lidclock.templog', 'numpy')\n"
        "print([x for x in sys.modules if x.startswith(models)])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )

    assert done.stdout.strip() == "[]"
