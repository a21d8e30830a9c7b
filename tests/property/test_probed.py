"""More warmth is never a later limit: the food's own temperature, over histories."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from lidclock.clock import judge
from lidclock.clock.probed import probed
from strategies import SETS, cases, minutes, set_ids, strictest

PROBES = st.lists(
    st.tuples(st.integers(0, 9000), st.sampled_from([-20.0, 1.0, 4.0, 8.3, 30.0])),
    max_size=4,
)


def measured(history, found):
    probes = tuple(
        (history.made_at + minutes(after), temp_c) for after, temp_c in found
    )
    return replace(history, probes=probes)


@given(cases(), set_ids, PROBES, st.integers(0, 20_000))
def test_measuring_food_never_moves_a_limit_later(case, set_id, found, after):
    zone, food, history = case
    guidance = SETS[set_id]
    at = {"zone": zone, "now": history.made_at + minutes(after)}
    warmer = probed(measured(history, found), guidance.cold_c)

    before = strictest(judge(food, history, guidance, **at))
    assert strictest(judge(food, warmer, guidance, **at)) <= before


@given(cases(), PROBES)
def test_the_stays_still_touch_and_cover_the_same_time(case, found):
    _, _, history = case
    stays = probed(measured(history, found), 5.0).stays

    assert [stay.began for stay in stays[1:]] == [stay.ended for stay in stays[:-1]]
    assert stays[:1] == () or stays[0].began == history.stays[0].began
    assert stays[-1:] == () or stays[-1].ended == history.stays[-1].ended
