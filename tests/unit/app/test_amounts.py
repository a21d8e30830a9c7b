"""How much to make, on a real ledger: worked out by hand from tables of Poisson's law.

P(D <= n) of mean 6: 0.0025, 0.0174, 0.0620, 0.1512, ... 0.7440 (7), 0.8472 (8),
0.9161 (9), 0.9574 (10).
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.unit.app.conftest import at
from tests.unit.app.test_consumption import SOUP, do, make, plan, supper

from lidclock.app import moves, setup
from lidclock.app.amounts import amounts
from lidclock.app.answers import accept
from lidclock.app.session import Fact
from lidclock.app.today import today
from lidclock.domain.foods import Food
from lidclock.errors import InputError, UnknownThingError
from lidclock.plan.forecast import MONTH, OURS, WEEK

MONDAY = "2026-11-09T00:00"


def two_a_day(opened, weeks=1):
    """Two boxes of soup a day, used on the same day, up to Sun 8 Nov 2026."""
    for back in range(7 * weeks, 0, -1):
        day = (at(MONDAY) - timedelta(days=back) + timedelta(hours=9)).isoformat()
        noon = opened(day[:19])
        noon.now = at(MONDAY) - timedelta(days=back) + timedelta(hours=9)
        for code in make(noon, count=2):
            noon.now += timedelta(hours=3)
            do(noon, moves.use, code)


def choose(session, **choices):
    with session.write() as unit:
        unit.record([Fact("noted", "plan/kitchen", {"choices": choices})])


def asked(opened, moment=MONDAY, food=None, **more):
    with opened(moment).read() as unit:
        return amounts(unit, food, **more)


def test_two_a_day_for_three_days_want_ten_to_be_enough(opened):
    two_a_day(opened)

    (soup,) = asked(opened)

    assert (soup.food, soup.days, soup.until) == (
        "Leek Soup",
        3,
        at("2026-11-12T00:00"),
    )
    assert soup.demand.mean == pytest.approx(6)
    assert (soup.make, soup.wanted_at_most) == (10, 10)
    assert [one.make for one in soup.options] == [9, 10, 11]
    assert soup.options[1].short_odds == pytest.approx(1 - 0.9574, abs=1e-4)
    assert (soup.weeks, soup.recorded_days, soup.ran_out_days) == (1, 7, 7)


def test_what_will_pass_its_last_moment_is_made_again(opened):
    """Four boxes end with the cover: 0.0025 + 0.0174 + 0.0620 + 0.1512 = 0.2331 of them

    are left over, so 10 - (4 - 0.2331) = 6.23, and 7 are made.
    """
    two_a_day(opened)
    make(opened("2026-11-08T23:00"), count=4)

    (soup,) = asked(opened)

    assert soup.stock.usable == 4
    assert soup.stock.outdating == pytest.approx(0.2331, abs=2e-4)
    assert soup.make == 7


def test_what_lasts_beyond_the_cover_is_simply_there(opened):
    two_a_day(opened)
    make(opened("2026-11-08T23:00"), count=4)

    (soup,) = asked(opened, days=1)

    # Two a day: P(D <= 5) of mean 2 is 0.9834, P(D <= 4) 0.9473.
    assert (soup.wanted_at_most, soup.stock.outdating, soup.make) == (5, 0, 1)


def test_frozen_boxes_are_told_apart(opened):
    two_a_day(opened)
    for code in make(opened("2026-11-08T22:00"), count=3):
        do(opened("2026-11-08T22:30"), moves.freeze, code)

    (soup,) = asked(opened)

    assert (soup.stock.usable, soup.stock.frozen) == (0, 3)
    assert (soup.make, soup.make_if_thawed) == (10, 7)


def test_what_nobody_placed_is_not_counted(opened):
    two_a_day(opened)
    make(opened("2026-11-08T23:00"), count=2, place=None)

    (soup,) = asked(opened)

    assert (soup.stock.usable, soup.stock.uncounted, soup.make) == (0, 2, 10)


def test_costs_decide_where_they_are_known(opened):
    """9 for one too few and 3 for one too many are 0.75: eight of mean 6."""
    two_a_day(opened)
    choose(opened(MONDAY), short=9.0, worth=3.0)

    (soup,) = asked(opened)

    assert (soup.share, soup.make) == (0.75, 8)


def test_costs_of_nothing_leave_the_service_level(opened):
    two_a_day(opened)
    choose(opened(MONDAY), short=0.0, worth=0.0, service=0.9)

    assert asked(opened)[0].share == 0.9


def test_waste_that_costs_nothing_is_no_reason_for_endless_pans(opened):
    two_a_day(opened)
    choose(opened(MONDAY), short=9.0, worth=0.0)

    (soup,) = asked(opened)

    # P(D <= 14) of mean 6 is 0.9986, P(D <= 15) 0.9995.
    assert soup.make == 15


def test_meals_alone_are_made_for_exactly(opened):
    plan(opened("2026-11-02T10:00"), supper(5))

    (soup,) = asked(opened, "2026-11-02T12:00")

    assert (soup.food, soup.make, soup.planned, soup.chosen) == (
        "leek soup",
        5,
        5,
        None,
    )
    assert soup.options[0].short_odds == 1


def test_a_meal_before_and_one_after_the_time_are_not_counted(opened):
    plan(opened("2026-11-02T10:00"), supper(5))

    assert asked(opened, "2026-11-03T19:00") == []
    assert asked(opened, "2026-11-02T12:00", days=1) == []


def test_a_meal_comes_on_top_of_what_is_eaten_besides(opened):
    two_a_day(opened)
    meal = supper(5)
    later = meal.begins.replace(day=10)
    plan(opened(MONDAY), type(meal)(meal.id, later, meal.zone_name, meal.items))

    (soup,) = asked(opened)

    assert (soup.demand.mean, soup.planned, soup.make) == (pytest.approx(11), 5, 15)


def test_under_eight_weeks_the_mean_is_all_there_is(opened):
    two_a_day(opened)

    (soup,) = asked(opened)

    assert soup.chosen.method == MONTH
    assert not soup.chosen.claims
    assert soup.forecasts == {WEEK: 6, MONTH: 6}


def test_after_eight_weeks_ours_is_shown_where_it_does_not_lose(opened):
    two_a_day(opened, weeks=8)

    (soup,) = asked(opened)

    assert soup.chosen.method == OURS
    assert soup.chosen.claims
    assert soup.forecasts[OURS] == pytest.approx(6)
    assert soup.chosen.errors[OURS].absolute == 0


def test_bought_packs_are_not_made(opened):
    session = opened("2026-11-02T09:00")
    setup.add_food(session, Food("pickles", "cooked-vegetables", made_by="maker"))
    (jar,) = make(
        session, Food("pickles", "cooked-vegetables", made_by="maker"), count=1
    )
    do(opened("2026-11-03T12:00"), moves.use, jar)

    assert asked(opened, "2026-11-05T08:00") == []


def test_a_food_first_made_today_has_no_record_yet(opened):
    make(opened("2026-11-02T09:00"))

    (soup,) = asked(opened, "2026-11-02T12:00", "leek soup")

    assert (soup.chosen, soup.forecasts, soup.make) == (None, None, 0)


def test_what_is_asked_by_name_is_answered_though_nobody_ate_it(opened):
    setup.add_food(opened("2026-11-02T09:00"), SOUP)

    (soup,) = asked(opened, "2026-11-02T10:00", "LEEK soup")

    assert (soup.make, soup.chosen, soup.demand.mean) == (0, None, 0)


def test_a_food_that_nobody_described_is_named(opened):
    with pytest.raises(UnknownThingError, match="no food 'leek pie'"):
        asked(opened, MONDAY, "leek pie")


@pytest.mark.parametrize("days", [0, -1, 29])
def test_days_out_of_range_are_refused(opened, days):
    with pytest.raises(InputError, match="from 1 to 28"):
        asked(opened, days=days)


def test_the_days_are_those_of_the_calendar(opened):
    """To the same hour three days on, though the clocks change in between."""
    plan(opened("2026-10-31T10:00"), supper(5))
    later = asked(opened, "2026-10-31T17:00", days=4)

    assert later[0].until == at("2026-11-04T17:00")


def test_a_box_that_ends_before_the_meal_is_no_help(opened):
    """Made on Fri 30 Oct: four days are over when supper comes on Tue 3 Nov."""
    make(opened("2026-10-30T12:00"), count=2)
    plan(opened("2026-11-01T10:00"), supper(5))

    (soup,) = asked(opened, "2026-11-02T12:00")

    assert (soup.stock.usable, soup.stock.outdating, soup.make) == (2, 2, 5)


def test_a_box_that_ends_after_the_meal_is(opened):
    make(opened("2026-11-01T12:00"), count=2)
    plan(opened("2026-11-01T13:00"), supper(5))

    (soup,) = asked(opened, "2026-11-02T12:00")

    assert (soup.stock.usable, soup.stock.outdating, soup.make) == (2, 0, 3)


def test_a_supper_that_was_eaten_early_is_not_cooked_for(opened):
    codes = make(opened("2026-11-02T12:00"), count=5)
    plan(opened("2026-11-02T13:00"), supper(5))
    session = opened("2026-11-03T18:15")
    card, _ = today(session)
    number = next(n for n, one in enumerate(card.shown, 1) if one.kind == "use")
    accept(session, number)

    assert len(codes) == 5
    assert all(one.planned == 0 for one in asked(opened, "2026-11-03T18:16"))
