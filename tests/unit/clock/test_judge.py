"""Verdicts worked by hand; October to November 2026, New York."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from lidclock.clock import judge
from lidclock.domain.foods import Food
from lidclock.domain.history import Component, History, Stay
from lidclock.domain.moments import from_local, zone_of
from lidclock.guidance.load import load_categories, load_set, set_names

ZONE = zone_of("America/New_York")
CODE = load_set("us-food-code")
HOME = load_set("us-home")
MONDAY = date(2026, 11, 2)
ONE = timedelta(days=1)
TICK = timedelta(microseconds=1)
SOUP = Food("soup", "soup-stew")


def at(month, day, hour=12, minute=0):
    return from_local(datetime(2026, month, day, hour, minute), ZONE)


def chain(*moves, **facts):
    """Stays in a row from (state, began) pairs; the last one lasts."""
    ends = [began for _, began in moves[1:]] + [None]
    stays = tuple(
        Stay(state, began, end, temp_c=3.0 if state == "fridge" else None)
        for (state, began), end in zip(moves, ends, strict=True)
    )
    return History(made_at=facts.pop("made_at", moves[0][1]), stays=stays, **facts)


def verdict(food, history, guidance=HOME, now=None, **options):
    now = now or history.made_at or history.stays[0].began
    return judge(food, history, guidance, zone=ZONE, now=now, **options)


def test_a_range_plans_by_its_low_end_and_limits_by_its_high_end():
    """3 to 4 days, made Mon 2 Nov: plan Wed 4 Nov, last day Thu 5 Nov."""
    result = verdict(SOUP, chain(("fridge", at(11, 2))))

    assert (result.plan_by, result.last_day) == (date(2026, 11, 4), date(2026, 11, 5))


def test_exactly_two_hours_on_the_counter_are_within_the_limit():
    history = chain(("counter", at(11, 2, 12)), ("fridge", at(11, 2, 14)))

    assert verdict(SOUP, history, now=at(11, 2, 15)).last_day == date(2026, 11, 5)


def test_a_microsecond_more_than_two_hours_is_over():
    history = chain(("counter", at(11, 2, 12)), ("fridge", at(11, 2, 14) + TICK))

    result = verdict(SOUP, history, now=at(11, 2, 15))

    assert (result.status, result.binding.rule.id) == ("over", "us.home.2h")
    assert result.last_moment == at(11, 2, 14)


def test_two_short_spells_on_the_counter_are_added_up():
    """1 h + 1 h 30 min: the two hours are full half an hour before the second ends."""
    history = chain(
        ("counter", at(11, 2, 12)),
        ("fridge", at(11, 2, 13)),
        ("counter", at(11, 3, 9)),
        ("fridge", at(11, 3, 10, 30)),
    )

    assert verdict(SOUP, history, now=at(11, 3, 11)).last_moment == at(11, 3, 10)


def test_reheating_in_time_starts_the_two_hours_again():
    history = chain(
        ("counter", at(11, 2, 12)),
        ("fridge", at(11, 2, 13)),
        ("counter", at(11, 3, 9)),
        ("fridge", at(11, 3, 10, 30)),
        reheated_at=(at(11, 3, 9),),
    )

    assert verdict(SOUP, history, now=at(11, 3, 11)).last_day == date(2026, 11, 5)


def test_reheating_too_late_gives_nothing_back():
    history = chain(
        ("counter", at(11, 2, 12)),
        ("fridge", at(11, 2, 15)),
        reheated_at=(at(11, 2, 16),),
    )

    assert verdict(SOUP, history, now=at(11, 2, 17)).status == "over"


def test_a_counter_above_32_degrees_has_one_hour():
    stay = Stay("counter", at(11, 2), None, temp_c=33.0)

    result = verdict(SOUP, History(made_at=at(11, 2), stays=(stay,)))

    assert result.last_moment == at(11, 2, 13)


def test_a_hot_hold_that_is_hot_enough_uses_nothing_up():
    stay = Stay("hot", at(11, 2), None, temp_c=60.0)

    result = verdict(SOUP, History(made_at=at(11, 2), stays=(stay,)))

    assert result.last_day == date(2026, 11, 5)


def test_a_hot_hold_a_tenth_too_cold_is_time_out_of_control():
    stay = Stay("hot", at(11, 2), None, temp_c=57.1)

    result = verdict(SOUP, History(made_at=at(11, 2), stays=(stay,)), CODE)

    assert result.last_moment == at(11, 2, 16)


def test_a_fridge_exactly_at_the_cold_limit_is_cold():
    stay = Stay("fridge", at(11, 2), None, temp_c=5.0)

    result = verdict(SOUP, History(made_at=at(11, 2), stays=(stay,)), CODE)

    assert result.last_day == date(2026, 11, 8)


def test_measured_warm_hours_are_named_touching_pieces_once():
    """Two pieces of one warm time, cold, then one that lasts: 5 °C, 4 h in all."""
    pieces = (
        Stay("fridge", at(11, 2, 8), at(11, 2, 9), "Fridge 2", 3.0),
        Stay("fridge", at(11, 2, 9), at(11, 2, 10), "Fridge 2", 6.5),
        Stay("fridge", at(11, 2, 10), at(11, 2, 10, 30), "Fridge 2", 8.25),
        Stay("fridge", at(11, 2, 10, 30), at(11, 2, 12), "Fridge 2", 5.0),
        Stay("fridge", at(11, 2, 12), None, "Fridge 2", 9.0),
    )
    history = History(made_at=at(11, 2, 8), stays=pieces)

    limit = verdict(SOUP, history, CODE, now=at(11, 2, 13)).binding

    assert limit.why == [
        "4 h allowed in all above 5 °C",
        "1 h 30 min above 5 °C in Fridge 2, at most 8.25 °C: Mon 2 Nov 2026 09:00 "
        "to Mon 2 Nov 2026 10:30 (measured)",
        "above 5 °C in Fridge 2, at most 9 °C: Mon 2 Nov 2026 12:00 on, and still "
        "(measured)",
        "reached on Mon 2 Nov 2026 14:30",
    ]


def test_of_many_measured_warm_hours_the_first_are_named():
    pieces = tuple(
        Stay(
            "fridge", at(11, 2, 0, 4 * n), at(11, 2, 0, 4 * n + 4), "F", 4.0 + n % 2 * 2
        )
        for n in range(12)
    )
    history = History(made_at=at(11, 2, 0), stays=pieces, ended_at=at(11, 2, 1))

    (limit,) = [
        one
        for one in verdict(SOUP, history, CODE).limits
        if any(step[0] == "measured" for step in one.steps)
    ]

    assert [step[0] for step in limit.steps].count("measured") == 5
    assert "and 1 more time (measured)" in limit.why


def test_paused_food_has_days_left_and_no_last_day():
    """7 days, made Mon, frozen Tue: two days charged, five left."""
    history = chain(("fridge", at(11, 2)), ("freezer", at(11, 3)))

    result = verdict(SOUP, history, CODE, now=at(11, 20))

    assert result.status == "paused"
    assert (result.days_left, result.last_day, result.next_change) == (5, None, None)


def test_a_mixture_keeps_the_last_day_of_its_older_sauce():
    """Sauce made Wed 28 Oct, 7 days: Tue 3 Nov. Filling alone, 5 days: Wed 4 Nov."""
    sauce = Component(
        "sauce", Food("sauce", "tomato-sauce"), chain(("fridge", at(10, 28)))
    )
    filling = Food("filling", "cooked-vegetables", house_days=5)
    history = chain(("fridge", at(10, 31)), components=(sauce,))

    result = verdict(filling, history, CODE)

    assert result.last_day == date(2026, 11, 3)
    assert result.binding.via == "sauce"
    assert result.binding.rule.kind == "inherit"
    alone = verdict(filling, replace(history, components=()), CODE)
    assert alone.last_day == date(2026, 11, 4)


def test_a_house_rule_of_six_days_is_worded_as_one():
    """Made Sat 31 Oct as day 1: day 6 is Thu 5 Nov."""
    dough = Food("dough", "yeast-dough-raw", house_days=6)

    result = verdict(dough, chain(("fridge", at(10, 31))), CODE)

    assert (result.last_day, result.is_house_rule) == (date(2026, 11, 5), True)
    assert result.best_by == date(2026, 11, 5)


def test_dough_frozen_the_same_day_keeps_five_days_after_thawing():
    """Day 1 was spent before freezing; thawed Fri 13 Nov as day 2: Tue 17 Nov."""
    dough = Food("dough", "yeast-dough-raw", house_days=6)
    moves = ("fridge", at(10, 31)), ("freezer", at(10, 31, 18))

    frozen = verdict(dough, chain(*moves), CODE)
    thawed = verdict(dough, chain(*moves, ("fridge", at(11, 13))), CODE)

    assert frozen.days_left == 5
    assert thawed.last_day == date(2026, 11, 17)


@pytest.mark.parametrize("guidance", [CODE, HOME], ids=lambda one: one.id)
def test_nothing_settles_dough_without_a_house_rule(guidance):
    history = chain(("fridge", at(10, 31)))

    result = verdict(Food("dough", "yeast-dough-raw"), history, guidance)

    assert (result.status, result.last_day, result.days_left) == ("unknown", None, None)
    assert "house rule would settle it" in result.unknown[0]


@pytest.mark.parametrize(
    ("now", "status"),
    [
        (at(11, 2), "keep"),
        (at(11, 3, 23, 59), "keep"),
        (at(11, 4, 0, 0), "soon"),
        (at(11, 4, 23, 59), "soon"),
        (at(11, 5, 0, 0), "last-day"),
        (at(11, 5, 23, 59), "last-day"),
        (at(11, 6, 0, 0), "over"),
    ],
)
def test_the_status_follows_the_calendar(now, status):
    """Last day Thu 5 Nov, over at midnight; two days before that is Wed 00:00."""
    history = chain(("fridge", at(11, 2)))

    assert verdict(SOUP, history, now=now).status == status


@pytest.mark.parametrize(
    ("now", "change"),
    [
        (at(11, 2), at(11, 4, 0)),
        (at(11, 4, 0), at(11, 5, 0)),
        (at(11, 5, 0), at(11, 6, 0)),
        (at(11, 6, 0), None),
    ],
)
def test_the_next_change_is_the_moment_the_status_changes(now, change):
    assert verdict(SOUP, chain(("fridge", at(11, 2))), now=now).next_change == change


def test_a_kitchen_that_wants_readings_gets_unknown_without_them():
    stay = Stay("fridge", at(11, 2))

    result = verdict(
        SOUP, History(made_at=at(11, 2), stays=(stay,)), accepts_unmeasured=False
    )

    assert result.status == "unknown"
    assert any("this kitchen wants them" in line for line in result.unknown)


def test_a_kitchen_that_wants_readings_wants_them_of_the_parts_too():
    part = Component(
        "sauce",
        Food("sauce", "tomato-sauce"),
        History(made_at=at(11, 1), stays=(Stay("fridge", at(11, 1)),)),
    )
    history = chain(("fridge", at(11, 2)), components=(part,))

    result = verdict(SOUP, history, CODE, accepts_unmeasured=False)

    assert result.status == "unknown"


def test_an_unmeasured_fridge_of_a_part_is_listed():
    part = Component(
        "sauce",
        Food("sauce", "tomato-sauce"),
        History(made_at=at(11, 1), stays=(Stay("fridge", at(11, 1)),)),
    )
    history = chain(("fridge", at(11, 2)), components=(part,))

    result = verdict(SOUP, history, CODE)

    assert any("fridge temperature" in line for line in result.unknown)


@pytest.mark.parametrize(
    ("state", "taken"), [("fridge", "cold"), ("freezer", "frozen"), ("hot", "hot")]
)
def test_a_place_that_was_read_later_is_not_said_to_have_no_readings(state, taken):
    unread = Stay(state, at(11, 2), at(11, 2, 20))
    read = Stay(state, at(11, 2, 20), temp_c=63.0 if state == "hot" else -18.0)
    never = verdict(SOUP, History(made_at=at(11, 2), stays=(unread,)))
    partly = verdict(SOUP, History(made_at=at(11, 2), stays=(unread, read)))

    assert any(f"no readings; taken as {taken}" in line for line in never.unknown)
    assert not any("no readings" in line for line in partly.unknown)
    assert any("not read all the time; taken as" in line for line in partly.unknown)


def test_a_part_with_an_unknown_past_makes_the_mixture_unknown():
    part = Component("?", Food("?", ""), History())
    history = chain(("fridge", at(11, 2)), components=(part,))

    assert verdict(SOUP, history).status == "unknown"


def test_a_part_goes_on_ageing_between_its_end_and_the_mixing():
    """Sauce made Wed 28 Oct, container ended Thu 29; mixed Sat 31: last day 3 Nov.

    Nobody recorded where it was on Friday, so Friday is charged.
    """
    stay = Stay("fridge", at(10, 28), at(10, 29), temp_c=3.0)
    past = History(made_at=at(10, 28), stays=(stay,), ended_at=at(10, 29))
    part = Component("sauce", Food("sauce", "vinegar-sauce"), past)
    history = chain(("fridge", at(10, 31)), components=(part,))

    assert verdict(Food("salad", "egg-salad"), history, CODE).last_day <= date(
        2026, 11, 3
    )


def test_an_unverified_figure_stays_unverified_in_a_mixture():
    """The 48 hours of a vacuum pack are from memory."""
    sauce = Food("sauce", "tomato-sauce", pack="vacuum")
    part = Component("sauce", sauce, chain(("fridge", at(11, 1))))
    salad = Food("salad", "egg-salad")
    history = chain(("fridge", at(11, 2)), components=(part,))

    alone = verdict(sauce, part.history, CODE)
    mixed = verdict(salad, history, CODE)

    assert alone.binding.rule.source.verified is False
    assert mixed.binding.via == "sauce"
    assert mixed.binding.rule.source.verified is False


def test_paused_food_never_claims_more_days_than_its_strictest_rule_left():
    """Own rule of 2 days spent on Tue, authority's 7 not: nothing is left on Tue."""
    soup = Food("soup", "soup-stew", house_days=2)
    history = chain(("fridge", at(11, 2)), ("freezer", at(11, 3)))

    result = verdict(soup, history, CODE, now=at(11, 3, 15))

    assert result.last_day == date(2026, 11, 3) or result.days_left == 0


FRESH = CODE.with_counting(fresh_hours=24)


@pytest.mark.parametrize(
    "froze_and_thawed",
    [
        (at(11, 3, 8), at(11, 12, 9)),
        (at(11, 2, 14), at(11, 12, 9)),
        (at(11, 2, 12), at(11, 12, 9)),
        (at(11, 2, 14), at(11, 2, 18)),
        (at(11, 2, 14), at(11, 3, 18)),
    ],
    ids=["next day", "same day", "at once", "back the same day", "back the next day"],
)
def test_fresh_hours_begin_at_the_first_thaw_whenever_it_froze(froze_and_thawed):
    froze, thawed = froze_and_thawed
    history = chain(("fridge", at(11, 2, 12)), ("freezer", froze), ("fridge", thawed))
    history = replace(
        history, stays=tuple(x for x in history.stays if x.began != x.ended)
    )

    result = verdict(SOUP, history, FRESH, now=thawed)

    assert result.last_moment == thawed + timedelta(hours=24)


def test_fresh_hours_are_granted_once():
    thawed = at(11, 12, 9)
    history = chain(
        ("fridge", at(11, 2)),
        ("freezer", at(11, 3)),
        ("fridge", thawed),
        ("freezer", at(11, 12, 12)),
        ("fridge", at(11, 20)),
    )

    result = verdict(SOUP, history, FRESH, now=thawed)

    assert result.last_moment == thawed + timedelta(hours=24)
    assert "freeze" not in result.next


def test_food_past_its_day_before_freezing_gets_no_fresh_hours():
    """7 days from Mon 2 Nov end on Sun 8 Nov."""
    history = chain(
        ("fridge", at(11, 2)), ("freezer", at(11, 10)), ("fridge", at(11, 20))
    )

    assert verdict(SOUP, history, FRESH).last_day == date(2026, 11, 8)


@pytest.mark.parametrize("set_name", set_names())
@pytest.mark.parametrize("category", sorted(load_categories()))
@pytest.mark.parametrize("made_by", ["kitchen", "maker"])
@pytest.mark.parametrize("pack", ["air", "vacuum"])
def test_every_kind_of_food_gets_a_verdict(set_name, category, made_by, pack):
    food = Food("food", category, made_by=made_by, pack=pack)
    moves = ("fridge", at(11, 2)), ("freezer", at(11, 3)), ("counter", at(11, 9))
    lives = [
        chain(*moves[:count], opened_at=opened, maker_use_by=maker)
        for count in (1, 2, 3)
        for opened in (None, at(11, 2, 18))
        for maker in (None, date(2026, 11, 20))
    ]
    for history in [*lives, History()]:
        result = verdict(food, history, load_set(set_name), now=at(11, 4))

        assert result.status in (
            *("keep", "soon", "last-day", "over", "paused", "unknown"),
        )
        assert result.status != "unknown" or result.unknown


def test_ended_food_asks_for_nothing():
    history = chain(("fridge", at(11, 2)), ended_at=at(11, 3))

    result = verdict(SOUP, history, now=at(11, 4))

    assert (result.status, result.next, result.next_change) == ("ended", (), None)


def test_a_missed_cooling_step_is_over_six_hours_after_making():
    history = chain(("fridge", at(11, 2)), coolings=((at(11, 2, 18) + TICK, None),))

    result = verdict(SOUP, history, CODE, now=at(11, 3))

    assert (result.status, result.last_moment) == ("over", at(11, 2, 18))


def test_cooling_in_exactly_six_hours_is_met():
    history = chain(("fridge", at(11, 2)), coolings=((at(11, 2, 18), None),))

    assert verdict(SOUP, history, CODE).last_day == date(2026, 11, 8)


def test_vacuum_packs_have_48_hours_outside_the_freezer():
    """24 h in the fridge, a week frozen, then 24 h more from Tue 10 Nov 12:00."""
    pack = Food("soup", "soup-stew", pack="vacuum")
    history = chain(
        ("fridge", at(11, 2)), ("freezer", at(11, 3)), ("fridge", at(11, 10))
    )

    assert verdict(pack, history, CODE).last_moment == at(11, 11)


def test_frozen_food_is_best_within_the_shorter_of_the_months():
    """Soup: 2 to 3 months from the freezing on 3 Nov 2026."""
    history = chain(("fridge", at(11, 2)), ("freezer", at(11, 3)))

    assert verdict(SOUP, history).best_by == date(2027, 1, 3)


def test_the_explanation_shows_the_arithmetic():
    (line, *_), *_ = [x.why for x in verdict(SOUP, chain(("fridge", at(11, 2)))).limits]

    assert line == "day 1 is Mon 2 Nov 2026 (made)"
