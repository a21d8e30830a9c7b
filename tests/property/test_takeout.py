"""Whatever is asked to be ready: no way that is left open is over at the meal."""

from __future__ import annotations

from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from lidclock.clock import judge
from lidclock.plan.takeout import WARM, WAYS, Hours, Way, option_of, weighed, what_if
from strategies import ALL_SETS, all_set_ids, cases, later

_HOURS = st.floats(0, 60, allow_nan=False)


@st.composite
def ways(draw):
    low, mid, high = sorted(draw(_HOURS) for _ in range(3))
    name, temp_c = draw(st.sampled_from(WAYS)), draw(st.none() | st.floats(1, 35))
    return Way(name, "there", Hours(low, mid, high, "generated"), temp_c=temp_c)


@given(cases(), all_set_ids, st.lists(ways(), min_size=1, max_size=4), st.data())
def test_no_way_that_is_left_open_is_over_at_the_meal(case, set_id, some, data):
    zone, food, history = case
    now = history.made_at + data.draw(later)
    meal = now + timedelta(hours=data.draw(st.floats(0.1, 120)))
    at = {"guidance": ALL_SETS[set_id], "zone": zone}
    verdict = judge(food, history, now=now, **at)
    options, refused = weighed(some, verdict, meal, now)

    assert len(options) + len(refused) == len(some)
    assert verdict.history == history
    for option in options:
        then = what_if(verdict, option, meal, now)
        assert then.status in ("keep", "soon", "last-day")
        assert then.last_moment is None or then.last_moment > meal
        assert now <= option.take_out_at <= meal
        assert option.ready_high_at <= meal
        assert option.ready_low_at <= option.ready_mid_at <= option.ready_high_at


@given(cases(), all_set_ids, ways(), st.data())
def test_longer_hours_out_of_the_cold_never_leave_a_way_open(case, set_id, way, data):
    """What is refused for a limit stays so if it has to come out earlier still."""
    zone, food, history = case
    now = history.made_at + data.draw(later)
    meal = now + timedelta(hours=120)
    verdict = judge(food, history, ALL_SETS[set_id], zone=zone, now=now)
    if way.name not in WARM:
        return
    _, refused = weighed([way], verdict, meal, now)
    if not refused or refused[0].limit is None:
        return
    more = way.hours.high + data.draw(st.floats(0, 50))
    longer = Way(way.name, "there", Hours(0, 0, more, "more"), temp_c=way.temp_c)
    options, _ = weighed([longer], verdict, meal, now)

    assert options == []
    assert option_of(longer, meal).take_out_at <= refused[0].take_out_at
