"""What holds for any history, beyond the seven promises themselves."""

from dataclasses import replace

from hypothesis import assume, given
from hypothesis import strategies as st

from lidclock.clock import judge
from lidclock.clock.status import STATUSES
from lidclock.domain.history import Stay
from lidclock.domain.moments import last_date
from strategies import (
    ALL_SETS,
    FRESH_SETS,
    SETS,
    all_set_ids,
    cases,
    day_of,
    later,
    minutes,
    set_ids,
    strictest,
    thawed_days,
)


def split_at(stay, at):
    return replace(stay, ended=at), replace(stay, began=at)


@given(cases(depth=1), all_set_ids, later, st.data())
def test_splitting_a_stay_in_two_changes_nothing(case, set_id, after, data):
    zone, food, history = case
    at = {"zone": zone, "now": history.made_at + after}
    number = data.draw(st.integers(0, len(history.stays) - 1))
    stay = history.stays[number]
    length = 6000 if stay.ended is None else (stay.ended - stay.began).seconds // 60
    assume(length >= 2)
    cut = stay.began + minutes(data.draw(st.integers(1, length - 1)))
    halves = split_at(stay, cut)
    stays = (*history.stays[:number], *halves, *history.stays[number + 1 :])

    one = judge(food, history, ALL_SETS[set_id], **at)
    two = judge(food, replace(history, stays=stays), ALL_SETS[set_id], **at)

    def facts(verdict):
        moments = [(x.rule.id, x.over_at, x.days_left) for x in verdict.limits]
        return verdict.status, verdict.days_left, moments

    assert facts(one) == facts(two)


@given(cases(depth=0), set_ids, st.data())
def test_time_in_the_freezer_never_raises_the_thawed_days(case, set_id, data):
    """Put into the freezer for a while, a container has no more days outside it.

    A set that frees the day of freezing (or thawing) may give one, once.
    """
    zone, food, history = case
    guidance = SETS[set_id]
    number = data.draw(st.integers(0, len(history.stays) - 1))
    stay = history.stays[number]
    length = 9000 if stay.ended is None else (stay.ended - stay.began).seconds // 60
    assume(length >= 3)
    start = data.draw(st.integers(1, length - 2))
    end = data.draw(st.integers(start + 1, length - 1))
    froze_at, thawed_at = stay.began + minutes(start), stay.began + minutes(end)
    inserted = (
        replace(stay, ended=froze_at),
        replace(stay, state="freezer", began=froze_at, ended=thawed_at, temp_c=None),
        replace(stay, began=thawed_at),
    )
    stays = (*history.stays[:number], *inserted, *history.stays[number + 1 :])
    frozen = replace(history, stays=stays)

    def remaining(life):
        verdict = judge(food, life, guidance, zone=zone, now=life.made_at)
        days = {}
        for limit in verdict.limits:
            if limit.rule.low and limit.over_at is not None:
                is_pack = limit.rule.anchor == "opened" and food.made_by == "maker"
                opened = is_pack and life.opened_at
                first = day_of(opened or life.made_at, zone)
                last = last_date(limit.over_at, zone)
                days[limit.rule.id] = thawed_days(life, first, last, zone)
        return days

    freed = not guidance.counting.freeze_day_counts
    # Apia's day that never was is charged if the food was out on both sides of it.
    missing_day = zone.key == "Pacific/Apia"
    before, after = remaining(history), remaining(frozen)
    for rule_id in before.keys() & after.keys():
        assert after[rule_id] <= before[rule_id] + freed + missing_day


def thaws_of(history):
    """When it came out of the freezer."""
    pairs = zip(history.stays, history.stays[1:], strict=False)
    return [
        second.began
        for first, second in pairs
        if first.state == "freezer" != second.state
    ]


@st.composite
def thawing(draw):
    """A case that thaws: where none came up, one of its stays was in the freezer."""
    zone, food, history = draw(cases(depth=0))
    if thaws_of(history):
        return zone, food, history
    stays = list(history.stays)
    at = draw(st.integers(0, len(stays) - 1))
    ended = stays[at].ended or stays[at].began + minutes(draw(st.integers(1, 6000)))
    stays[at] = Stay("freezer", stays[at].began, ended)
    if at + 1 == len(stays):
        stays.append(Stay("fridge", ended, None))
    elif stays[at + 1].state == "freezer":
        stays[at + 1] = replace(stays[at + 1], state="fridge")
    return zone, food, replace(history, stays=tuple(stays))


@given(thawing(), st.sampled_from(sorted(FRESH_SETS)), later)
def test_fresh_hours_are_granted_once_and_never_exceeded(case, set_id, after):
    """From the first thaw on, nothing lasts longer than the fresh hours."""
    zone, food, history = case
    guidance = FRESH_SETS[set_id]
    thaws = thaws_of(history)
    assert thaws
    verdict = judge(food, history, guidance, zone=zone, now=history.made_at + after)

    for limit in verdict.limits:
        if limit.rule.kind in ("day-count", "house", "local"):
            assert limit.last_moment <= thaws[0] + minutes(24 * 60)


@given(cases(), st.sampled_from(sorted(SETS | FRESH_SETS)), later)
def test_every_verdict_is_one_of_seven_and_says_why_it_is_unknown(case, set_id, after):
    zone, food, history = case
    guidance = (SETS | FRESH_SETS)[set_id]
    verdict = judge(food, history, guidance, zone=zone, now=history.made_at + after)

    assert verdict.status in STATUSES
    if verdict.status == "unknown":
        assert verdict.unknown
        assert (verdict.last_day, verdict.days_left) == (None, None)
    if verdict.status == "paused":
        assert verdict.last_day is None
        assert verdict.days_left is not None
    if verdict.status in ("keep", "soon", "last-day"):
        assert verdict.now < verdict.over_at <= strictest(verdict)
    if verdict.next_change is not None:
        at = verdict.next_change
        then = judge(food, history, guidance, zone=zone, now=at)
        assert then.status != verdict.status
