"""Promises 3 and 4 over histories of many stays, measured by one sensor or several.

What is known of the time between readings is part of each statement, since a reading
more or less also changes what nobody measured. Temperatures stay below 45 °C: above a
hot limit food is not charged, and there warmer is better.
"""

from datetime import UTC, datetime, timedelta

from hypothesis import assume, given
from hypothesis import strategies as st

from lidclock.clock import judge
from lidclock.domain.foods import Food
from lidclock.domain.history import History, Stay
from lidclock.domain.moments import zone_of
from lidclock.guidance.load import load_set, set_names
from lidclock.templog.charging import STILL_SO, Record, limits_of, measured
from lidclock.templog.course import course_of, worst_of
from lidclock.templog.gaps import Pace
from lidclock.templog.series import joined, seconds

BEGAN = datetime(2026, 7, 1, 6, tzinfo=UTC)
STEP = timedelta(minutes=40)
STEPS = 50
PACE = Pace(STEP / timedelta(seconds=1))
SETS = {name: load_set(name) for name in set_names()}
# Where a sensor begins or ends, the worst of several jumps within a millisecond.
JUMPS = timedelta(milliseconds=10)
NEVER = datetime.max.replace(tzinfo=UTC)

names = st.sampled_from(sorted(SETS))
foods = st.sampled_from(
    ["soup-stew", "cooked-rice", "leafy-salad", "cooked-poultry"]
).map(lambda category: Food("food", category))


def temp_of(number):
    """A temperature out of 16 bits: half of them whole degrees, half below 12 °C."""
    highest = 12 if number & 1 else 45
    if number & 2:
        return float((number >> 2) % (highest + 26) - 25)
    return round((number >> 2) % (10 * (highest + 25) + 1) / 10 - 25, 1)


temps = st.integers(0, 0xFFFF).map(temp_of)
places = st.integers(0, STEPS - 1)
readings = st.dictionaries(places, temps, min_size=2, max_size=25)
# A reading at every step: no gap anywhere, except where one is made on purpose. Drawn
# as one block of bytes: fifty draws of a number took longer than the verdicts.
whole = st.binary(min_size=2 * STEPS, max_size=2 * STEPS).map(
    lambda found: {
        at: temp_of(int.from_bytes(found[2 * at : 2 * at + 2])) for at in range(STEPS)
    }
)
gaps = st.tuples(places, places)
# Above every set's cold limit, and below every one's.
warm = st.floats(8.1, 45).map(lambda one: round(one, 1))
cold = st.floats(-1, 3.9).map(lambda one: round(one, 1))


def lives(*states):
    """When it came into which state; the last stay lasts."""
    return st.lists(
        st.tuples(places, st.sampled_from(states)),
        min_size=1,
        max_size=5,
        unique_by=lambda one: one[0],
    ).map(sorted)


def life(moves):
    began = [BEGAN + at * STEP for at, _ in moves]
    stays = [
        Stay(state, start, end, "Place")
        for start, end, (_, state) in zip(began, [*began[1:], None], moves, strict=True)
    ]
    return History(made_at=began[0], stays=tuple(stays))


def series_of(said):
    times = [seconds(BEGAN + at * STEP) for at in said]
    return joined(times, list(said.values())).series


def verdict(case, moves, *sensors, accepts=True, find=None):
    """What is made of a food's life, with what each sensor said where it was."""
    name, food = case
    guidance, now = SETS[name], BEGAN + (STEPS + 10) * STEP
    course = worst_of([course_of(series_of(said), PACE) for said in sensors])
    limits = limits_of(guidance.rules, guidance.cold_c)

    def record(stay):
        here = course if find is None else find(stay)
        return None if here is None else Record(here, limits)

    history = measured(life(moves), record, guidance.cold_c)
    at = {"zone": zone_of("UTC"), "now": now, "accepts_unmeasured": accepts}
    return judge(food, history, guidance, **at)


def end(found):
    """When it is over: never, where nothing says so."""
    return found.over_at or NEVER


def is_later(moment, other):
    """By more than sums of seconds since 1970 in 64 bits can tell: some 0.2 us each."""
    return moment - other > timedelta(microseconds=10)


cases = st.tuples(names, foods)


@given(cases, lives("fridge", "counter", "freezer"), readings, st.data())
def test_readings_that_are_all_warmer_never_give_more_time(case, moves, said, data):
    rises = st.floats(0, 30)
    warmer = {at: min(c + data.draw(rises), 45.0) for at, c in said.items()}

    assert not is_later(
        end(verdict(case, moves, warmer)), end(verdict(case, moves, said))
    )


@given(cases, lives("fridge", "freezer"), whole, gaps, warm)
def test_silence_between_warm_readings_is_as_warm_as_they_are(
    case, moves, said, gap, warm
):
    """Never later than any readings there that were no warmer than those beside it."""
    first, last = sorted(gap)
    known = {at: min(c, warm) if first < at < last else c for at, c in said.items()}
    known |= {first: warm, last: warm}
    silent = {at: c for at, c in known.items() if not first < at < last}

    assert not is_later(
        end(verdict(case, moves, silent)), end(verdict(case, moves, known))
    )


@given(cases, lives("fridge", "freezer"), whole, places, warm)
def test_silence_after_a_warm_reading_is_as_warm_as_it(case, moves, said, last, warm):
    """A place that was warm last is taken to be warm on, until it speaks again.

    For what comes into it more than a day later it is one that nobody reads.
    """
    assume((max(at for at, _ in moves) - last) * STEP <= STILL_SO)
    known = {at: min(c, warm) if at > last else c for at, c in said.items()}
    known |= {last: warm}
    silent = {at: c for at, c in known.items() if at <= last}

    assert not is_later(
        end(verdict(case, moves, silent)), end(verdict(case, moves, known))
    )


@given(cases, lives("fridge", "freezer"), readings, st.data())
def test_what_only_warms_and_is_warm_earlier_never_gives_more_time(
    case, moves, said, data
):
    """Of readings of which none is cooler than the one before, one comes earlier.

    On a counter it may: what nobody measures counts as the warm room there, so a cold
    reading spares food an hour of it, and where it stands decides which. Nor may it
    close a gap, which counted as the warmer reading all through, or open one, since a
    reading alone holds for one interval.
    """
    rising = dict(zip(sorted(said), sorted(said.values()), strict=True))
    times = sorted(rising)
    place = data.draw(st.integers(1, len(times) - 1))
    share = data.draw(st.floats(0.01, 0.99))
    when = times[place - 1] + share * (times[place] - times[place - 1])
    longest = PACE.longest_s * timedelta(seconds=1) / STEP
    closes = when - times[place - 1] <= longest < times[place] - times[place - 1]
    after = times[place + 1] if place + 1 < len(times) else times[place]
    opens = after - when > longest >= after - times[place]
    assume(not closes and not opens)
    earlier = {when if at == times[place] else at: c for at, c in rising.items()}

    assert not is_later(
        end(verdict(case, moves, earlier)), end(verdict(case, moves, rising))
    )


@given(cases, lives("fridge", "counter", "freezer"), readings, st.data())
def test_the_counter_for_the_fridge_never_gives_more_time(case, moves, said, data):
    """With the same readings in both, and where nobody measures the counter.

    A room that nobody measured is not taken to be above 32 °C, which is told.
    """
    chosen = data.draw(st.integers(0, len(moves) - 1))
    before = [(at, "fridge" if n == chosen else s) for n, (at, s) in enumerate(moves)]
    after = [(at, "counter" if n == chosen else s) for n, (at, s) in enumerate(moves)]
    course = course_of(series_of({at: min(c, 32.0) for at, c in said.items()}), PACE)
    unread = verdict(
        *(case, after),
        find=lambda stay: (
            None if stay.began == life(after).stays[chosen].began else course
        ),
    )
    mild = {at: min(temp_c, 32.0) for at, temp_c in said.items()}

    assert not is_later(
        end(verdict(case, after, said)), end(verdict(case, before, said))
    )
    assert not is_later(end(unread), end(verdict(case, before, mild)))


@given(cases, lives("fridge", "freezer"), readings)
def test_readings_never_give_more_time_than_places_taken_as_cold(case, moves, said):
    """A freezer that is not frozen, a fridge that is not cold, and neither measured."""
    assert not is_later(end(verdict(case, moves, said)), end(verdict(case, moves, {})))


@given(cases, lives("fridge", "freezer"), whole, st.data())
def test_another_sensor_never_gives_more_time(case, moves, said, data):
    """Where the first has no gap; in a gap of its own the others count alone."""
    others = data.draw(st.lists(readings, min_size=1, max_size=3))
    alone = end(verdict(case, moves, said))
    together = end(verdict(case, moves, said, *others))

    other_way = end(verdict(case, moves, *reversed(others), said))

    assert not is_later(together, alone)
    assert abs(together - other_way) <= JUMPS


@given(cases, lives("fridge"), cold, places, st.integers(5, STEPS))
def test_silence_in_a_cold_fridge_is_listed_and_no_silence_is_not(
    case, moves, temp_c, first, length
):
    """Wherever it lies in the life: before, between, or after the readings.

    Nobody measures what is before or after the food's life: silence there is nothing.
    """
    known = dict.fromkeys(range(STEPS + 11), temp_c)
    silent = {at: c for at, c in known.items() if not first <= at < first + length}
    found = verdict(case, moves, silent, accepts=False)
    whole_life = verdict(case, moves, known, accepts=False)

    is_lived = first + length > moves[0][0]
    assert listed(found) == is_lived
    assert not listed(whole_life)


def listed(found):
    told = ("fridge temperature", "no reading from")
    return any(one in line for line in found.unknown for one in told)


@given(cases, lives("fridge", "counter", "freezer"), readings, cold)
def test_readings_from_before_a_life_change_nothing_if_the_last_was_cold(
    case, moves, said, temp_c
):
    """A place last heard cold is one that nobody measures, however warm it once was."""
    earlier = {at - 2 * STEPS: c for at, c in said.items()}
    earlier |= {-STEPS: min(temp_c, 0.0)}

    assert verdict(case, moves, earlier) == verdict(case, moves, {})
