"""The seven promises of the clock and the ledger, each over generated histories.

The details behind a promise have their own files beside this one.
"""

from dataclasses import replace
from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from event_strategies import ledgers
from lidclock.clock import judge
from lidclock.clock.parts import goes_on
from lidclock.domain.fold import corrected, fold
from lidclock.domain.history import Component
from lidclock.domain.moments import last_date
from lidclock.guidance.model import Rule
from strategies import (
    ALL_SETS,
    FAR,
    FRESH_SETS,
    SETS,
    all_set_ids,
    cases,
    day_of,
    foods,
    histories_from,
    minutes,
    set_ids,
    strictest,
    thawed_days,
)

later = st.integers(0, 40 * 1440).map(minutes)


@given(cases(), all_set_ids, later, st.data())
def test_promise_1_the_strictest_applicable_limit_binds(case, set_id, after, data):
    zone, food, history = case
    guidance = ALL_SETS[set_id]
    at = {"zone": zone, "now": history.made_at + after}
    verdict = judge(food, history, guidance, **at)

    assert verdict.over_at in (None, strictest(verdict))
    assert (verdict.binding is None) == (strictest(verdict) == FAR)
    assert verdict.binding is None or verdict.binding.over_at == strictest(verdict)
    assert (verdict.status == "over") == (at["now"] >= strictest(verdict))
    plan = guidance.plan_for(food)
    for part in history.components:
        if not goes_on(part, history, plan, guidance):
            continue
        past = part.history.mixed_into(history, is_cooked=plan.category.is_heated)
        alone = judge(part.food, past, guidance, **at)
        assert strictest(verdict) <= strictest(alone)

    began = history.made_at - minutes(data.draw(st.integers(1, 9000)))
    part = Component("more", data.draw(foods), data.draw(histories_from(began, 0)))
    fuller = replace(history, components=(*history.components, part))
    assert strictest(judge(food, fuller, guidance, **at)) <= strictest(verdict)

    days = data.draw(st.integers(1, food.house_days or 14))
    shorter = replace(food, house_days=days)
    assert strictest(judge(shorter, history, guidance, **at)) <= strictest(verdict)

    rule = Rule("x", "day-count", guidance.rules[0].source, "s", "w", low=9, high=9)
    stricter = replace(guidance, rules=(*guidance.rules, rule), _plans={})
    assert strictest(judge(food, history, stricter, **at)) <= strictest(verdict)


@given(cases(depth=0), set_ids)
def test_promise_2_freezing_pauses_and_never_resets(case, set_id):
    """Days outside the freezer up to the last moment never exceed the days allowed.

    A set that frees the first freezing (or thawing) day allows that one day more.
    """
    zone, food, history = case
    guidance = SETS[set_id]
    verdict = judge(food, history, guidance, zone=zone, now=history.made_at)
    counting = guidance.counting
    freed = (not counting.freeze_day_counts) + (not counting.thaw_day_counts)

    for limit in verdict.limits:
        if not limit.rule.low or limit.over_at is None:
            continue
        # Only a maker's pack can start at its opening.
        is_pack = limit.rule.anchor == "opened" and food.made_by == "maker"
        opened_at = history.opened_at if is_pack else None
        first = day_of(opened_at or history.made_at, zone)
        spent = thawed_days(history, first, last_date(limit.over_at, zone), zone)
        assert spent <= limit.rule.high + freed
        # The clock takes no day away either; Apia's missing day is charged.
        assert spent >= limit.rule.high - (zone.key == "Pacific/Apia")


@given(cases(), all_set_ids, later)
def test_promise_3_what_is_not_known_counts_as_the_worst(case, set_id, after):
    zone, food, history = case
    guidance = ALL_SETS[set_id]
    at = {"zone": zone, "now": history.made_at + after}
    verdict = judge(food, history, guidance, **at)

    unmeasured = tuple(
        replace(stay, temp_c=None) if (stay.temp_c or 99) <= guidance.cold_c else stay
        for stay in history.stays
    )
    for poorer in (
        replace(history, made_at=None, mixed_at=history.made_at),
        replace(history, opened_at=None),
        replace(history, stays=unmeasured),
    ):
        worse = judge(food, poorer, guidance, **at)
        # Without a making time nothing is promised, but what is known can be over.
        is_over = worse.status == verdict.status == "over"
        is_sooner = strictest(worse) <= strictest(verdict)
        assert worse.status == "unknown" or is_sooner or is_over
        assert worse.status != "unknown" or (worse.last_day, worse.days_left) == (
            None,
            None,
        )

    nameless = judge(replace(food, category="?"), history, guidance, **at)
    assert nameless.status in ("unknown", "over")
    listed = " ".join(verdict.unknown)
    states = {stay.state for stay in history.stays if stay.temp_c is None}
    read = {stay.state for stay in history.stays if stay.temp_c is not None}
    for state, words in (("fridge", "fridge"), ("hot", "hot hold")):
        how = "not read all the time" if state in read else "no readings"
        assert state not in states or f"{words} temperature: {how}" in listed
    is_cooked = guidance.categories[food.category].is_cooked
    assert ("cooling: no log" in listed) == (is_cooked and not history.coolings)


@given(cases(reheats=False), st.sampled_from(sorted(SETS | FRESH_SETS)), st.data())
def test_promise_4_more_warmth_or_time_never_yields_a_later_limit(case, set_id, data):
    zone, food, history = case
    guidance = (SETS | FRESH_SETS)[set_id]
    at = {"zone": zone, "now": history.made_at}
    before = strictest(judge(food, history, guidance, **at))

    number = data.draw(st.integers(0, len(history.stays) - 1))
    stay = history.stays[number]
    if stay.state == "fridge":
        for temp_c in (stay.temp_c, None, 40.0):
            warmer = list(history.stays)
            warmer[number] = replace(stay, state="counter", temp_c=temp_c)
            warmed = replace(history, stays=tuple(warmer))
            assert strictest(judge(food, warmed, guidance, **at)) <= before

    is_warm = stay.state == "counter" and (stay.temp_c or 40) > 20
    if number and is_warm and history.stays[number - 1].state in ("fridge", "freezer"):
        previous = history.stays[number - 1]
        span = int((stay.began - previous.began).total_seconds() // 60)
        moved = stay.began - minutes(data.draw(st.integers(0, span - 1)))
        longer = list(history.stays)
        longer[number - 1] = replace(previous, ended=moved)
        longer[number] = replace(stay, began=moved)
        earlier = replace(history, stays=tuple(longer))
        assert strictest(judge(food, earlier, guidance, **at)) <= before


@given(cases(), all_set_ids, later, st.integers(0, 400), st.integers(0, 400))
def test_promise_5_a_warning_may_come_earlier_but_moves_no_limit(
    case, set_id, after, lead_h, other_h
):
    """Whatever asks for more warning gets an earlier word and the same limits.

    A prediction has no way in at all: food, history, guidance, zone and moment make
    the verdict, and the same five always make the same one.
    """
    zone, food, history = case
    guidance = ALL_SETS[set_id]
    at = {"zone": zone, "now": history.made_at + after}
    short, long = sorted((lead_h, other_h))
    one = judge(food, history, guidance, **at, lead=timedelta(hours=short))
    two = judge(food, history, guidance, **at, lead=timedelta(hours=long))
    again = judge(food, history, guidance, **at, lead=timedelta(hours=short))

    assert again == one
    assert two.limits == one.limits
    assert (two.last_moment, two.days_left) == (one.last_moment, one.days_left)
    assert two.status == one.status or (one.status, two.status) == ("keep", "soon")


@given(cases(), all_set_ids)
def test_promise_6_every_number_can_say_where_it_comes_from(case, set_id):
    zone, food, history = case
    guidance = ALL_SETS[set_id]
    verdict = judge(food, history, guidance, zone=zone, now=history.made_at)

    published = {rule.source for rule in guidance.rules}
    for limit in verdict.limits:
        source = limit.rule.source
        assert source.authority
        assert source.document
        assert limit.rule.section
        assert limit.rule.says
        assert limit.why
        assert all(limit.why)
        if limit.rule.kind in ("house", "local"):
            assert "house rule" in source.document or limit.via
        else:
            assert source.year
            assert limit.via or source in published


@given(ledgers(), st.randoms(use_true_random=False))
def test_promise_7_a_recorded_fact_is_never_lost_or_changed(ledger, random):
    """Order and repetition are irrelevant; a void restores what was before.

    What the containers hold, what was taken and what moved on add up to what was
    filled, and a correction leaves the corrected event in the set.
    """
    events = ledger.events
    inventory = fold(events)
    shuffled = [*events, *random.sample(events, k=min(3, len(events)))]
    random.shuffle(shuffled)

    assert fold(shuffled) == inventory
    assert fold([*events, *ledger.undo_last_act()]) == fold(ledger.before_last_act())
    assert {x.id for x in corrected(events)} | ledger.corrections == {
        x.id for x in events
    }
    assert ledger.grams_accounted_for(inventory) == ledger.grams_filled
