"""Promises 3 and 4 with temperatures: warmth gives no time, silence is never fine."""

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from lidclock.clock import judge
from lidclock.domain.foods import Food
from lidclock.domain.history import History, Stay
from lidclock.domain.moments import zone_of
from lidclock.guidance.load import load_set, set_names
from lidclock.templog.charging import limits_of, measured, stay_by_stay
from lidclock.templog.course import course_of
from lidclock.templog.gaps import pace_of
from lidclock.templog.series import joined, seconds

BEGAN = datetime(2026, 7, 1, 6, tzinfo=UTC)
STEP = timedelta(minutes=20)
SETS = {name: load_set(name) for name in set_names()}
FOOD = Food("soup", "soup-stew")
TEMPS = st.one_of(st.floats(-25, 12), st.floats(-25, 70)).map(lambda one: round(one, 1))
READINGS = st.dictionaries(st.integers(0, 200), TEMPS, min_size=2, max_size=40)
MOVES = st.lists(
    st.tuples(st.integers(0, 200), st.sampled_from(["fridge", "counter", "hot"])),
    min_size=1,
    max_size=4,
    unique_by=lambda one: one[0],
).map(sorted)


def life(moves):
    began = [BEGAN + at * STEP for at, _ in moves]
    ends = [*began[1:], None]
    return History(
        made_at=BEGAN,
        stays=tuple(
            Stay(state, start, end, "Place")
            for start, end, (_, state) in zip(began, ends, moves, strict=True)
        ),
    )


def verdict(name, moves, readings, *, accepts=True):
    guidance, now = SETS[name], BEGAN + 210 * STEP
    times = [seconds(BEGAN + at * STEP) for at in readings]
    series = joined(times, list(readings.values())).series
    course = course_of(series, pace_of(series))
    find = stay_by_stay(course, limits_of(guidance.rules, guidance.cold_c))
    history = measured(life(moves), find, guidance.cold_c)
    return judge(
        FOOD,
        history,
        guidance,
        zone=zone_of("UTC"),
        now=now,
        accepts_unmeasured=accepts,
    )


def end(found):
    """When it is over: never, where nothing says so."""
    return found.over_at or datetime.max.replace(tzinfo=UTC)


@given(st.sampled_from(sorted(SETS)), MOVES, READINGS, st.data())
def test_a_warmer_reading_in_the_fridge_never_gives_more_time(
    name, moves, readings, data
):
    moves = [(at, "fridge") for at, _ in moves]
    changed = data.draw(st.sampled_from(sorted(readings)))
    warmer = readings | {changed: readings[changed] + data.draw(st.floats(0.1, 30))}

    assert end(verdict(name, moves, warmer)) <= end(verdict(name, moves, readings))


@given(st.sampled_from(sorted(SETS)), MOVES, READINGS)
def test_readings_never_give_a_later_end_than_a_fridge_taken_as_cold(
    name, moves, readings
):
    moves = [(at, "fridge") for at, _ in moves]

    assert end(verdict(name, moves, readings)) <= end(verdict(name, moves, {}))


@given(st.sampled_from(sorted(SETS)), st.integers(1, 60), st.integers(20, 120))
def test_where_readings_are_wanted_silence_is_not_fine(name, before, hole):
    """A hole in the log of a fridge that was cold before it and after it."""
    whole = dict.fromkeys(range(211), 2.0)
    holed = {at: c for at, c in whole.items() if not before < at < before + hole}

    silent = verdict(name, [(0, "fridge")], holed, accepts=False)
    known = verdict(name, [(0, "fridge")], whole, accepts=False)

    # Over is over, whatever else nobody measured.
    assert silent.status in ("unknown", "over")
    assert any("fridge temperature" in line for line in silent.unknown)
    assert not any("fridge temperature" in line for line in known.unknown)
