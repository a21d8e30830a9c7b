"""Each kind of limit worked by hand; November 2026, New York, made at noon."""

from dataclasses import replace
from datetime import date, datetime

import pytest

from lidclock.clock import judge
from lidclock.domain.foods import Food
from lidclock.domain.history import Component, History, Stay
from lidclock.domain.moments import from_local, zone_of
from lidclock.guidance.load import load_set

ZONE = zone_of("America/New_York")
SOUP = Food("soup", "soup-stew")
NEXT = date(2026, 11, 3)


def at(day, hour=12, minute=0):
    return from_local(datetime(2026, 11, day, hour, minute), ZONE)


def life(*moves, **facts):
    """Stays in a row from (state, began[, °C]); the last one lasts."""
    ends = [move[1] for move in moves[1:]] + [None]
    stays = tuple(
        Stay(move[0], move[1], end, temp_c=move[2] if len(move) > 2 else None)
        for move, end in zip(moves, ends, strict=True)
    )
    return History(made_at=facts.pop("made_at", moves[0][1]), stays=stays, **facts)


def verdict(food, history, name, now=None, **options):
    guidance = load_set(name) if isinstance(name, str) else name
    now = now or history.made_at or history.stays[0].began
    return judge(food, history, guidance, zone=ZONE, now=now, **options)


def limit(result, rule_id):
    return next(one for one in result.limits if one.rule.id == rule_id)


COLD = life(("fridge", at(2), 3.0))


# Into the cold in time (chill).


def test_cooked_food_in_the_fridge_within_two_hours_is_in_time():
    history = life(("counter", at(2)), ("fridge", at(2, 14), 3.0))

    assert limit(verdict(SOUP, history, "au"), "au.nsw.in").over_at is None


def test_cooked_food_that_came_into_the_fridge_too_late_stays_over():
    history = life(("counter", at(2)), ("fridge", at(2, 14, 1), 3.0))
    result = verdict(SOUP, history, "au", now=at(2, 15))

    assert (result.status, result.binding.rule.id) == ("over", "au.nsw.in")
    assert result.last_moment == at(2, 14)


def test_a_reading_that_is_cold_is_as_good_as_a_fridge():
    history = life(("counter", at(2)), coolings=((at(2, 13, 30), 4.0),))

    assert limit(verdict(SOUP, history, "au"), "au.nsw.in").over_at is None


# Cooling in stages: from the start in the US, a further four hours in Australia.

FAST_START = ((at(2, 12, 30), 21.0), (at(2, 17, 0), 5.0))


def test_a_fast_first_stage_lengthens_the_second_in_the_food_code():
    """70 F after half an hour, 41 F after 5 h: within 6 h in all."""
    history = replace(COLD, coolings=FAST_START)

    assert limit(verdict(SOUP, history, "us-food-code"), "us.fc.cool2").over_at is None


def test_a_fast_first_stage_does_not_lengthen_the_second_in_australia():
    """21 °C at 12:30 leaves until 16:30; 5 °C came at 17:00."""
    missed = limit(verdict(SOUP, replace(COLD, coolings=FAST_START), "au"), "au.cool2")

    assert missed.last_moment == at(2, 16, 30)


def test_a_second_stage_within_four_further_hours_is_met():
    coolings = ((at(2, 14), 21.0), (at(2, 18), 5.0))

    met = limit(verdict(SOUP, replace(COLD, coolings=coolings), "au"), "au.cool2")

    assert met.over_at is None


def test_a_first_stage_that_was_still_warm_is_missed_in_both():
    coolings = ((at(2, 14), 25.0), (at(2, 16), 5.0))
    history = replace(COLD, coolings=coolings)

    assert limit(verdict(SOUP, history, "au"), "au.cool1").last_moment == at(2, 14)
    assert limit(verdict(SOUP, history, "us-food-code"), "us.fc.cool1").last_moment == (
        at(2, 14)
    )


def test_a_salad_from_the_larder_has_four_hours_to_get_cold():
    salad = Food("tuna salad", "egg-salad")
    late = life(("fridge", at(2), 3.0), coolings=((at(2, 16, 1), 5.0),))

    missed = limit(verdict(salad, late, "us-food-code"), "us.fc.cool_amb")

    assert missed.last_moment == at(2, 16)


# 2 hours / 4 hours: after two in all, cold does not stop the count.


def test_under_two_hours_in_all_cold_stops_the_count():
    history = life(
        *(("counter", at(2)), ("fridge", at(2, 13), 3.0)),
        *(("counter", at(3)), ("fridge", at(3, 13), 3.0)),
    )
    result = verdict(SOUP, history, "au", now=at(3, 14))

    assert limit(result, "au.24h.4").over_at is None
    assert "freeze" in result.next


def test_after_two_hours_in_all_two_more_are_left_wherever_it_is():
    """An hour out on Monday, more from Tuesday noon: the second is up at 13:00."""
    history = life(
        *(("counter", at(2)), ("fridge", at(2, 13), 3.0)),
        *(("counter", at(3)), ("fridge", at(3, 13, 30), 3.0)),
    )
    result = verdict(SOUP, history, "au", now=at(3, 14))

    assert result.last_moment == at(3, 15)
    assert result.next == ("use", "hand on", "discard")
    assert any("cold does not stop the clock" in line for line in result.cautions)


def test_reheating_gives_nothing_back_in_australia():
    history = life(
        *(("counter", at(2)), ("fridge", at(2, 13, 30), 3.0)),
        *(("counter", at(3)), ("fridge", at(3, 15), 3.0)),
        reheated_at=(at(2, 14),),
        reheated_c=(75.0,),
    )

    assert verdict(SOUP, history, "au", now=at(3, 16)).status == "over"


# Time as the only control: four hours, or six where all of it was measured.

SIX = Food("platter", "egg-salad", time_only_hours=6)


def test_six_hours_need_every_hour_measured():
    history = life(("fridge", at(2), 3.0), ("counter", at(2, 13), 20.0))

    assert verdict(SIX, history, "us-food-code").last_moment == at(2, 19)


def test_time_that_nobody_measured_falls_back_to_four_hours():
    history = life(("fridge", at(2), 3.0), ("counter", at(2, 13)))

    assert verdict(SIX, history, "us-food-code").last_moment == at(2, 17)


def test_warmer_than_the_ceiling_is_over_at_once():
    """21 °C (70 F) is the ceiling of the six hours."""
    history = life(("fridge", at(2), 3.0), ("counter", at(2, 13), 24.0))
    result = verdict(SIX, history, "us-food-code", now=at(2, 14))

    assert (result.status, result.last_moment) == ("over", at(2, 13))


def test_a_food_not_put_under_the_six_hours_has_four():
    history = life(("fridge", at(2), 3.0), ("counter", at(2, 13), 20.0))
    plain = replace(SIX, time_only_hours=None)

    assert verdict(plain, history, "us-food-code").last_moment == at(2, 17)


# Packs without air: which clock depends on the plan behind them.


def test_without_a_plan_a_pack_without_air_has_48_hours():
    result = verdict(replace(SOUP, pack="vacuum"), COLD, "us-food-code")

    assert result.last_moment == at(4)
    assert not result.binding.rule.source.verified


@pytest.mark.parametrize(("ph", "aw"), [(4.6, None), (None, 0.91)])
def test_under_a_plan_a_second_barrier_gives_thirty_days(ph, aw):
    """Packed Mon 2 Nov, day 1: day 30 is Tue 1 Dec."""
    food = Food("relish", "cooked-vegetables", pack="vacuum-plan", ph=ph, aw=aw)

    assert verdict(food, COLD, "us-food-code").last_day == date(2026, 12, 1)


@pytest.mark.parametrize(("ph", "aw"), [(None, None), (4.7, 0.92)])
def test_under_a_plan_without_a_second_barrier_nothing_is_given(ph, aw):
    food = Food("relish", "cooked-vegetables", pack="vacuum-plan", ph=ph, aw=aw)

    assert verdict(food, COLD, "us-food-code").status == "unknown"


BAG = Food("beef", "cooked-meat-poultry", pack="cook-chill")


def test_a_cook_chill_bag_has_seven_days():
    assert verdict(BAG, COLD, "us-food-code").last_day == date(2026, 11, 8)


def test_days_at_one_degree_are_not_charged_to_the_seven():
    """Mon 2 to Thu 12 Nov noon at 0 °C; Mon and Thu count, so five days are left."""
    history = life(("fridge", at(2), 3.0), ("fridge", at(2, 18), 0.0))
    warmer = life(
        *(("fridge", at(2), 3.0), ("fridge", at(2, 18), 0.0)),
        ("fridge", at(12), 4.0),
    )

    seven = limit(verdict(BAG, history, "us-food-code"), "us.fc.cc.41_7")
    assert seven.over_at is None
    assert verdict(BAG, warmer, "us-food-code", now=at(12, 13)).last_day == (
        date(2026, 11, 17)
    )


def test_thirty_days_from_packing_hold_however_cold_it_was():
    history = life(("fridge", at(2), 0.0))
    result = verdict(BAG, history, "us-food-code")

    assert (result.last_day, result.binding.rule.id) == (
        date(2026, 12, 1),
        "us.fc.cc.34_30",
    )


def test_an_unmeasured_fridge_is_charged_to_the_seven():
    history = life(("fridge", at(2)))

    assert verdict(BAG, history, "us-food-code").last_day == date(2026, 11, 8)


def test_ten_days_in_a_british_pack_without_air():
    food = Food("ham", "deli-meat-opened", pack="vacuum")

    assert verdict(food, COLD, "uk-catering").last_day == date(2026, 11, 11)


@pytest.mark.parametrize(("ph", "aw"), [(5.0, None), (None, 0.97)])
def test_another_control_lifts_the_ten_days_and_leaves_them_unknown(ph, aw):
    food = Food("ham", "deli-meat-opened", pack="vacuum", ph=ph, aw=aw)

    assert verdict(food, COLD, "uk-catering").status == "unknown"


# Thawing: carry over, or fresh hours once.


def thawed_on(day):
    return life(
        *(("fridge", at(2), 3.0), ("freezer", at(2, 20)), ("fridge", at(day), 3.0))
    )


@pytest.mark.parametrize("name", ["uk-home", "uk-catering", "au"])
def test_thawed_food_has_fresh_24_hours(name):
    result = verdict(SOUP, thawed_on(20), name, now=at(20, 13))

    assert result.last_moment == at(21)
    assert "freeze" not in result.next
    assert any("is not frozen again" in line for line in result.cautions)


def test_expressed_milk_has_24_hours_once_thawed():
    """4 days from Mon 2 Nov, one used; thawed on the 20th at noon."""
    milk = Food("milk", "expressed-milk")
    result = verdict(milk, thawed_on(20), "us-home", now=at(20, 13))

    assert (result.last_moment, result.binding.rule.id) == (
        at(21),
        "us.home.bm.thawed",
    )


def test_food_thawed_in_the_fridge_may_be_frozen_again_in_the_united_states():
    assert "freeze" in verdict(SOUP, thawed_on(5), "us-home", now=at(5, 13)).next


def test_food_thawed_on_the_counter_may_not_be_frozen_again():
    history = life(
        *(("fridge", at(2), 3.0), ("freezer", at(2, 20))),
        *(("counter", at(5)), ("fridge", at(5, 13), 3.0)),
    )

    assert "freeze" not in verdict(SOUP, history, "us-home", now=at(5, 14)).next


# What is left to the pack, and what freezes badly.

TUBE = Food("rolls", "tube-dough", made_by="maker")


def test_what_is_left_to_the_pack_lasts_until_the_date_on_it():
    history = replace(COLD, maker_use_by=date(2026, 11, 9))

    assert verdict(TUBE, history, "us-home").last_day == date(2026, 11, 9)


def test_without_a_date_on_the_pack_nothing_is_known():
    result = verdict(TUBE, COLD, "us-home")

    assert result.status == "unknown"
    assert "leaves it to the pack; the date on it would settle it" in result.unknown[0]


def test_once_opened_the_date_on_the_pack_is_not_enough():
    food = Food("ham", "deli-meat-opened", made_by="maker")
    opened = replace(COLD, maker_use_by=date(2026, 11, 20), opened_at=at(3))

    assert verdict(food, opened, "uk-home").status == "unknown"
    assert "once opened" in verdict(food, opened, "uk-home").unknown[0]


def test_what_freezes_badly_is_not_offered_for_the_freezer():
    result = verdict(Food("egg salad", "egg-salad"), COLD, "us-home")

    assert "freeze" not in result.next
    assert any("Freezing spoils its texture" in line for line in result.cautions)


# Ranges of hours, months, and a second time out of the cold.


def test_a_range_of_hours_limits_by_its_high_end():
    """Clams in Canada: 12 to 24 hours."""
    result = verdict(Food("clams", "crab-lobster-clams"), COLD, "ca")

    assert result.last_moment == at(3)
    assert "12 to 24 h published: plan by 12 h, limit is 24 h" in result.binding.why


def test_a_month_is_the_shortest_there_is():
    """Shredded cheese, 1 month once opened: 28 days from Mon 2 Nov is Sun 29 Nov."""
    food = Food("cheese", "shredded-cheese", made_by="maker")
    opened = replace(COLD, opened_at=at(2))

    assert verdict(food, opened, "us-home").last_day == date(2026, 11, 29)


def test_a_second_time_out_of_the_cold_is_told_where_one_is_allowed():
    salad = Food("slaw", "soup-stew")
    history = life(
        *(("fridge", at(2), 3.0), ("counter", at(2, 14)), ("fridge", at(2, 15), 3.0)),
        *(("counter", at(2, 16)), ("fridge", at(2, 17), 3.0)),
    )
    result = verdict(salad, history, "uk-catering", now=at(2, 18))

    assert any("allows one such time" in line for line in result.cautions)


def test_a_hot_display_below_63_degrees_has_two_hours():
    history = life(("hot", at(2), 60.0), coolings=((at(2, 12, 30), 5.0),))

    assert verdict(SOUP, history, "uk-catering").last_moment == at(2, 14)


def test_one_reheating_is_told_where_one_is_allowed():
    history = replace(COLD, reheated_at=(at(2, 18),), reheated_c=(85.0,))

    assert any(
        "allows one reheating" in x for x in verdict(SOUP, history, "nz").cautions
    )


# Acidity and dryness (TCS), near rows, people at higher risk.


def test_acid_food_is_freed_of_the_seven_days_and_stays_unknown():
    sauce = Food("chilli sauce", "vinegar-sauce", ph=3.9)
    result = verdict(sauce, COLD, "us-food-code")

    assert result.status == "unknown"
    assert "pH 3.9, water activity not measured" in result.unknown[0]


def test_a_house_rule_dates_acid_food_as_best_by():
    sauce = Food("chilli sauce", "vinegar-sauce", ph=3.9, house_days=14)
    result = verdict(sauce, COLD, "us-food-code")

    assert (result.last_day, result.is_house_rule) == (date(2026, 11, 15), True)


def test_the_home_charts_know_nothing_of_acidity():
    sauce = Food("salsa", "tomato-sauce", ph=3.9)

    assert verdict(sauce, COLD, "us-home").last_day == date(2026, 11, 5)


@pytest.mark.parametrize("category", ["raw-ground-meat", "raw-poultry"])
def test_acidity_frees_no_raw_food(category):
    food = Food("meat", category, ph=3.9)
    warm = life(("counter", at(2)))

    assert verdict(food, warm, "us-food-code").binding.rule.id == "us.fc.tphc4"


def test_a_food_without_a_row_is_offered_its_nearest_parent():
    result = verdict(Food("rice", "cooked-rice"), COLD, "ca")

    assert result.status == "unknown"
    assert result.plan.offer.category.id == "cooked-leftovers"
    assert (
        "nearest row is cooked-leftovers (3 to 4 days, ca.left.fridge)"
        in (result.unknown[0])
    )


def test_no_near_row_is_offered_where_the_gap_is_a_warning():
    """Infant food has no row in Canada, nor has any group above it."""
    assert verdict(Food("x", "garlic-in-oil"), COLD, "ca").plan.offer is None


def test_people_at_higher_risk_go_by_the_low_end():
    """3 to 4 days from Mon 2 Nov: Wed 4 Nov."""
    strict = load_set("us-home").for_high_risk()
    result = verdict(SOUP, COLD, strict)

    assert result.last_day == date(2026, 11, 4)


def test_people_at_higher_risk_get_no_six_hours():
    history = life(("fridge", at(2), 3.0), ("counter", at(2, 13), 20.0))
    strict = load_set("us-food-code").for_high_risk()

    assert verdict(SIX, history, strict).last_moment == at(2, 17)


# Ways round a limit that a review found.


def test_an_own_day_count_dates_no_milk_without_air():
    """The 24 hours after thawing are no figure for a pack without air."""
    milk = Food("milk", "expressed-milk", pack="vacuum", house_days=100)

    assert verdict(milk, COLD, "us-home").status == "unknown"


def test_an_unopened_packs_days_end_with_its_opening():
    ham = Food("ham", "deli-meat-unopened", made_by="maker")
    opened = replace(COLD, opened_at=at(3))

    assert verdict(ham, COLD, "us-home").last_day == date(2026, 11, 15)
    assert verdict(ham, opened, "us-home").status == "unknown"


@pytest.mark.parametrize("category", ["cut-fruit", "fruit-juice-opened", "flour-nuts"])
def test_thirty_days_under_a_plan_are_for_raw_vegetables_only(category):
    food = Food("x", category, pack="vacuum-plan", ph=6.3)

    assert verdict(food, COLD, "us-food-code").status == "unknown"


def test_a_bag_that_was_not_chilled_within_48_hours_gains_nothing_later():
    history = life(("fridge", at(2), 4.0), ("fridge", at(7, 20), 1.0))

    assert verdict(BAG, history, "us-food-code").last_day == date(2026, 11, 8)


def test_a_deep_chill_that_ended_does_not_begin_again():
    history = life(
        *(("fridge", at(2), 0.0), ("fridge", at(4), 4.0), ("fridge", at(6), 0.0)),
    )

    assert verdict(BAG, history, "us-food-code").last_day == date(2026, 11, 9)


def test_a_bag_that_went_into_a_mixture_is_chilled_in_vain():
    """Days 3 and 4 are free; from the mixing on the 5th all count up to the 10th."""
    bag = Component("beef", BAG, life(("fridge", at(2), 0.0)))
    salad = Food("salad", "egg-salad")
    mixed = replace(life(("fridge", at(5), 0.0)), components=(bag,))

    limits = verdict(salad, mixed, "us-food-code").limits
    (brought_in,) = [one for one in limits if one.via == "beef"]
    assert brought_in.over_at == at(11, 0)


def test_one_cold_reading_long_after_does_not_prove_a_further_stage():
    """2 h to 21 °C and a further 4 h: after 6 h it is missed whatever was read."""
    history = replace(COLD, coolings=((at(3, 18), 4.0),))

    assert limit(verdict(SOUP, history, "au"), "au.cool2").last_moment == at(2, 18)


@pytest.mark.parametrize("read_c", [21.0, 22.0, 60.0])
def test_a_warmer_first_reading_gives_no_more_time(read_c):
    history = replace(COLD, coolings=((at(2, 13), read_c), (at(2, 17, 30), 4.0)))

    missed = limit(verdict(SOUP, history, "au"), "au.cool2")
    assert missed.last_moment == at(2, 17)


def test_expressed_milk_has_two_hours_at_room_temperature():
    history = life(("counter", at(2), 22.0))

    assert verdict(Food("m", "expressed-milk"), history, "us-home").last_moment == (
        at(2, 14)
    )


@pytest.mark.parametrize("state", ["hot", "counter"])
def test_cooked_food_below_63_degrees_has_two_hours_wherever_it_stands(state):
    history = life(
        *(("fridge", at(2), 4.0), (state, at(3), 50.0)),
        reheated_at=(at(3),),
        reheated_c=(85.0,),
    )

    assert verdict(SOUP, history, "uk-catering", now=at(3)).last_moment == at(3, 14)


@pytest.mark.parametrize("category", ["raw-meat", "ham-fresh-raw", "raw-variety-meat"])
def test_fresh_meat_is_out_of_the_scope_of_the_ten_days(category):
    food = Food("meat", category, pack="vacuum")

    assert verdict(food, COLD, "uk-catering").status == "unknown"


def test_a_hot_hold_right_after_cooking_puts_the_cold_off():
    history = life(
        *(("counter", at(2)), ("hot", at(2, 12, 5), 75.0), ("fridge", at(2, 18), 4.0)),
    )

    assert limit(verdict(SOUP, history, "au"), "au.nsw.in").over_at is None


def test_a_part_that_was_cooked_again_in_time_need_not_have_been_cold():
    stock = Component("stock", Food("stock", "gravy-broth"), life(("counter", at(2))))
    soup = replace(
        life(("counter", at(2, 13)), ("fridge", at(2, 14), 3.0)), components=(stock,)
    )

    assert verdict(SOUP, soup, "uk-home", now=at(2, 14)).status != "over"


def test_a_bought_pack_is_dated_from_its_opening_where_nothing_earlier_is_known():
    """Milk, 7 days: opened Mon 2 Nov, day 7 is Sun 8 Nov."""
    milk = Food("milk", "milk", made_by="maker")
    opened = replace(COLD, made_at=None, opened_at=at(2))

    assert verdict(milk, opened, "us-home").last_day == date(2026, 11, 8)
    earlier = replace(opened, made_at=at(1))
    assert verdict(milk, earlier, "us-home").last_day == date(2026, 11, 7)


def test_a_part_without_a_mark_of_its_own_leaves_the_mixture_its_days():
    """Food Code 3-501.17(C): the earliest mark of the parts that bear one."""
    cheese = Component("cheddar", Food("c", "hard-cheese", made_by="maker"), COLD)
    bread = Component("bread", Food("b", "bread-baked"), COLD)
    salad = replace(COLD, components=(cheese, bread))

    result = verdict(Food("salad", "pasta-salad"), salad, "us-food-code")
    assert result.last_day == date(2026, 11, 8)


def test_acidity_frees_nothing_that_needs_control_by_its_nature():
    """Food Code 1-201.10 names garlic in oil: 7 days from Mon 2 Nov all the same."""
    oil = Food("oil", "garlic-in-oil", ph=3.9)

    assert verdict(oil, COLD, "us-food-code").last_day == date(2026, 11, 8)
