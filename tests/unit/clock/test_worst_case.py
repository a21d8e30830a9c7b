"""Facts that look like a way round a limit, and are none."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from lidclock.clock import judge
from lidclock.domain.foods import Food
from lidclock.domain.history import Component, History, Placing, Stay, stays_of
from lidclock.guidance.load import load_set

ZONE = ZoneInfo("America/New_York")
MADE = datetime(2025, 10, 1, 9, tzinfo=ZONE).astimezone(UTC)
DAY = timedelta(days=1)
HOUR = timedelta(hours=1)
SOUP = Food("soup", "soup-stew", ())
HOME = load_set("us-home")
CODE = load_set("us-food-code")


def verdict(food, history, guidance=HOME, *, now=None, **more):
    return judge(food, history, guidance, zone=ZONE, now=now or MADE + DAY, **more)


def life(*placings, made_at=MADE, **facts):
    where = [Placing(at, state) for at, state in placings]
    return History(made_at=made_at, stays=stays_of(made_at, where), **facts)


def test_opening_a_lid_of_the_kitchens_own_starts_no_new_count():
    """3 to 5 days from making on 1 Oct: until 5 Oct, opened on 4 Oct or not."""
    ham = Food("ham", "deli-meat-opened", ())

    opened = life((MADE, "fridge"), opened_at=MADE + 3 * DAY)

    assert verdict(ham, opened).last_day == date(2025, 10, 5)


def test_a_kitchens_own_food_that_was_only_opened_is_unknown():
    ham = Food("ham", "deli-meat-opened", ())
    opened = History(opened_at=MADE, stays=(Stay("fridge", MADE),))

    assert verdict(ham, opened).status == "unknown"


def test_cooking_raw_food_that_was_over_does_not_bring_it_back():
    """Raw chicken: 1 to 2 days; made 1 Oct, cooked on 5 Oct."""
    chicken = Food("chicken", "raw-poultry", ())
    cooked = life((MADE + 4 * DAY, "fridge"), made_at=MADE + 4 * DAY)
    part = Component("chicken", chicken, life((MADE, "fridge")))

    mixture = verdict(
        SOUP, replace(cooked, components=(part,)), now=MADE + 4 * DAY + HOUR
    )

    assert mixture.status == "over"
    assert mixture.binding.via == "chicken"


def test_raw_food_cooked_in_time_is_a_new_food():
    chicken = Food("chicken", "raw-poultry", ())
    part = Component("chicken", chicken, life((MADE, "fridge")))
    cooked = life((MADE + DAY, "fridge"), made_at=MADE + DAY)

    mixture = verdict(SOUP, replace(cooked, components=(part,)))

    assert mixture.last_day == date(2025, 10, 5)


def test_raw_food_put_together_without_cooking_still_binds():
    chicken = Food("chicken", "raw-poultry", ())
    part = Component("chicken", chicken, life((MADE, "fridge")))
    together = replace(
        life((MADE + HOUR, "fridge")), mixed_at=MADE + HOUR, components=(part,)
    )

    assert verdict(SOUP, together).last_day == date(2025, 10, 2)


@pytest.mark.parametrize(("temp_c", "status"), [(25.0, "over"), (74.0, "keep")])
def test_only_a_hot_reheating_starts_the_counter_time_again(temp_c, status):
    """90 minutes on the counter, reheated, 90 minutes more; 2 hours are allowed."""
    at = MADE + 1.5 * HOUR
    history = life(
        (MADE, "counter"),
        (MADE + 3 * HOUR, "fridge"),
        reheated_at=(at,),
        reheated_c=(temp_c,),
    )

    assert verdict(SOUP, history, now=MADE + 4 * HOUR).status == status


def test_a_reheating_that_nobody_measured_is_listed():
    history = life((MADE, "fridge"), reheated_at=(MADE + HOUR,))

    assert any("reheating" in line for line in verdict(SOUP, history).unknown)


def test_raw_food_is_not_reheated():
    chicken = Food("chicken", "raw-poultry", ())
    history = life((MADE, "counter"), reheated_at=(MADE + HOUR,), reheated_c=(75.0,))

    assert verdict(chicken, history).last_moment == MADE + 2 * HOUR


def test_a_warm_reading_does_not_end_the_cooling():
    history = life((MADE, "fridge"), coolings=((MADE + HOUR, 45.0),))

    told = verdict(SOUP, history, CODE)

    assert any("not cold yet" in line for line in told.unknown)
    assert not any("cooled in time" in limit.why for limit in told.limits)


def test_the_first_stage_of_cooling_stays_unknown_after_a_late_end():
    """Cold after 5 hours: the 6-hour stage is met, the 2-hour stage nobody saw."""
    history = life((MADE, "fridge"), coolings=((MADE + 5 * HOUR, 4.0),))

    assert any("stage before" in x for x in verdict(SOUP, history, CODE).unknown)


def test_a_freezer_known_to_be_warm_pauses_nothing():
    stays = (
        Stay("fridge", MADE, MADE + HOUR),
        Stay("freezer", MADE + HOUR, None, "", 4.0),
    )

    assert verdict(SOUP, History(made_at=MADE, stays=stays)).status != "paused"


def test_frozen_on_its_last_day_it_is_paused_with_no_day_left():
    """Day 4 of 4 is 4 Oct."""
    history = life((MADE, "fridge"), (MADE + 3 * DAY, "freezer"))

    frozen = verdict(SOUP, history, now=MADE + 30 * DAY)

    assert (frozen.status, frozen.days_left) == ("paused", 0)
    assert frozen.next == ("check", "discard")


def test_on_the_last_day_freezing_is_not_offered():
    history = life((MADE, "fridge"))

    assert "freeze" not in verdict(SOUP, history, now=MADE + 3 * DAY).next


def test_a_short_freeze_does_not_free_a_day():
    free = load_set("us-food-code-freeze-day-free")
    noon = MADE + 2 * DAY
    plain = life((MADE, "fridge"))
    dipped = life((MADE, "fridge"), (noon, "freezer"), (noon + HOUR / 60, "fridge"))

    assert verdict(SOUP, dipped, free).last_day == verdict(SOUP, plain, free).last_day


def test_a_frozen_pack_is_paused_until_its_makers_date_and_over_after_it():
    ham = Food("ham", "deli-meat-opened", (), made_by="maker")
    history = History(
        opened_at=MADE,
        stays=stays_of(MADE, [Placing(MADE + DAY, "freezer")]),
        maker_use_by=date(2025, 12, 1),
    )
    cold = replace(history, stays=(Stay("freezer", MADE),))

    before, after = MADE + 5 * DAY, MADE + 90 * DAY
    assert verdict(ham, cold, now=before).status == "paused"
    assert verdict(ham, cold, now=after).status == "over"


def test_a_house_rule_may_not_stand_in_for_a_pack_without_air():
    packed = replace(SOUP, pack="vacuum", house_days=9)

    assert verdict(packed, life((MADE, "fridge"))).status == "unknown"


def test_a_house_rule_may_not_stand_in_for_raw_meat():
    mince = Food("mince", "raw-ground-meat", (), house_days=9)

    assert verdict(mince, life((MADE, "fridge")), CODE).status == "unknown"


def test_a_kitchen_that_wants_readings_wants_them_of_its_hot_hold():
    history = life((MADE, "hot"))

    told = verdict(SOUP, history, CODE, accepts_unmeasured=False)

    assert told.status == "unknown"


def test_hard_cheese_is_not_kept_on_a_counter_for_days():
    cheese = Food("cheese", "hard-cheese", (), made_by="maker")
    history = History(opened_at=MADE, stays=(Stay("counter", MADE),))

    assert verdict(cheese, history).last_moment == MADE + 2 * HOUR


def test_where_an_authority_ends_the_same_day_it_is_no_house_rule():
    """A part by house rule and the whole by the charts, both until 4 Oct."""
    base = Food("base", "vinegar-sauce", (), house_days=4)
    part = Component("base", base, life((MADE, "fridge")))
    whole = replace(life((MADE, "fridge")), components=(part,))

    told = verdict(SOUP, whole)

    assert told.last_day == date(2025, 10, 4)
    assert told.binding.via == "base"
    assert not told.is_house_rule


def curry(*coolings):
    return verdict(
        SOUP, life((MADE, "fridge"), coolings=coolings), CODE, now=MADE + 30 * HOUR
    )


def test_a_warm_reading_after_a_missed_cooling_does_not_undo_it():
    """Cold after 12 hours, 6 were allowed; a warm reading follows."""
    late = curry((MADE + 12 * HOUR, 4.0), (MADE + 13 * HOUR, 20.0))

    assert late.status == "over"


def test_still_warm_at_the_deadline_is_missed():
    """20 degrees after 10 hours, where 5 were due after 6."""
    assert curry((MADE + 10 * HOUR, 20.0)).last_moment == MADE + 6 * HOUR


def test_still_hot_when_the_first_stage_ends_is_missed():
    """60 degrees after 3 hours, where 21 were due after 2."""
    assert curry((MADE + 3 * HOUR, 60.0)).last_moment == MADE + 2 * HOUR


def test_a_second_cooling_after_a_good_one_changes_nothing():
    good = curry((MADE + 2 * HOUR, 4.0), (MADE + 25 * HOUR, 30.0))

    assert good.status == "keep"


def test_a_reheating_before_the_mixing_is_none_of_the_parts():
    """Two hours on the counter in all, 1 h 50 of them before they were combined."""
    mixed_at = MADE + HOUR * 11 / 6
    part = Component("soup", SOUP, life((MADE, "counter")))
    together = History(
        made_at=MADE,
        mixed_at=mixed_at,
        stays=(Stay("counter", mixed_at),),
        reheated_at=(MADE + HOUR * 10 / 6,),
        reheated_c=(80.0,),
        components=(part,),
    )

    assert verdict(SOUP, together).last_moment == MADE + 2 * HOUR


def test_raw_food_of_unknown_age_is_named_after_it_was_cooked():
    bird = Component("bird", Food("bird", "raw-poultry", ()), History())
    cooked = replace(life((MADE, "fridge")), components=(bird,))

    assert any("whether it was over" in x for x in verdict(SOUP, cooked).unknown)


def test_thawed_days_never_reach_past_the_makers_date():
    """Frozen at once with 7 days, but the maker's date is 3 Oct: on 2 Oct, 2 days."""
    ham = Food("ham", "deli-meat-opened", (), made_by="maker")
    history = History(
        opened_at=MADE, stays=(Stay("freezer", MADE),), maker_use_by=date(2025, 10, 3)
    )

    frozen = verdict(ham, history, CODE, now=MADE + DAY)

    assert (frozen.status, frozen.days_left) == ("paused", 2)
    assert frozen.next_change == frozen.binding.over_at


@pytest.mark.parametrize("facts", [{}, {"coolings": ((MADE, None),)}])
def test_a_kitchen_that_wants_readings_wants_all_of_them(facts):
    where = "fridge" if facts else "freezer"
    stays = (Stay(where, MADE, None, "", 3.0 if facts else None),)
    history = History(made_at=MADE, stays=stays, **facts)

    assert verdict(SOUP, history, accepts_unmeasured=False).status == "unknown"
