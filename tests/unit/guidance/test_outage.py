"""After a power cut: the hours, the readings, and what no row fits."""

import tomllib
from collections import Counter
from importlib import resources

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.guidance.load import load_categories
from lidclock.guidance.outage import judge_freezer, judge_fridge, outage_cautions
from lidclock.guidance.outage_chart import load_charts

CHARTS = load_charts()
# 40 °F is 4.44 °C: (40 - 32) / 1.8.
AT_40_F, ABOVE_40_F = 4.44, 4.45

categories = st.sampled_from([*load_categories(), "", "no such category"])
hours = st.floats(0, 100)
readings = st.floats(-5, 40)
findings = st.sampled_from([None, "icy", "warm"])
NEAR = st.sampled_from([2, 4, 6, 8, 24, 48])
near_hours = st.one_of(hours, NEAR, NEAR.map(lambda x: x + 0.01))
near_readings = st.one_of(readings, st.sampled_from([4.4, AT_40_F, ABOVE_40_F, 10.0]))


def fridge(category, hours_out, end_c=None):
    return judge_fridge(category, hours_out, end_c).decision


def freezer(category, hours_out, found=None, *, is_full=False):
    return judge_freezer(category, hours_out, is_full, found).decision


@pytest.mark.parametrize("category", ["soup-stew", "raw-poultry", "garlic-in-oil", ""])
def test_a_shut_fridge_keeps_everything_for_four_hours(category):
    assert fridge(category, 4) == "keep"


def test_after_four_hours_without_a_reading_the_worst_is_taken():
    judged = judge_fridge("soup-stew", 4.02, None)

    assert judged.decision == "discard"
    assert judged.why == (
        "4 h 1 min without power, not measured: counted as above 4.4 °C (40 °F)",
    )


def test_what_was_cold_at_the_end_is_kept_however_long_it_took():
    assert fridge("raw-poultry", 30, 3.0) == "keep"


def test_forty_fahrenheit_is_still_cold():
    assert fridge("soup-stew", 6, AT_40_F) == "keep"
    assert fridge("soup-stew", 6, ABOVE_40_F) == "discard"


def test_a_warm_reading_counts_more_than_the_hours_of_a_shut_door():
    assert fridge("soup-stew", 3, 9.0) == "discard"


def test_within_two_hours_nothing_was_too_warm_for_longer():
    assert fridge("soup-stew", 2, 20.0) == "keep"


def test_what_the_chart_keeps_is_kept_when_warm():
    assert fridge("hard-cheese", 12, 20.0) == "keep"


@pytest.mark.parametrize(
    ("hours_out", "end_c", "decision"),
    [
        (8, None, "keep"),
        (8.02, None, "discard"),
        (8, 25.0, "keep"),
        (9, 10.0, "keep"),
        (9, 10.1, "discard"),
    ],
)
def test_mayonnaise_has_eight_hours_above_ten_degrees(hours_out, end_c, decision):
    assert fridge("mayonnaise-opened", hours_out, end_c) == decision


def test_food_in_no_row_is_to_check_with_the_worst_case_in_words():
    judged = judge_fridge("garlic-in-oil", 6, None)

    assert (judged.decision, judged.record) == ("check", "")
    assert judged.row == (
        "no row of the chart fits this food; usual worst case: "
        "discard if above 4.4 °C (40 °F) for more than 2 h"
    )


def test_a_row_about_a_part_of_a_category_never_keeps_the_whole():
    """Opened cans of fruit are kept; the same category holds tomatoes."""
    judged = judge_fridge("canned-high-acid-opened", 6, None)

    assert judged.decision == "check"
    assert "keep even if" in judged.row
    assert "no row for the rest of its kind" in judged.row


def test_a_group_covers_its_children_unless_a_row_names_them():
    """Cured meats are a group; a chilled canned ham in it has a row of its own."""
    assert judge_fridge("salt-cured-ham", 6, None).record.endswith("hot_dogs_bacon")
    assert judge_fridge("ham-can-chilled", 6, None).record.endswith("keep-refrigerated")


def test_a_group_does_not_carry_along_what_is_excepted():
    assert judge_freezer("cooked-leftovers", 30, False, "icy").decision == "refreeze"
    assert judge_freezer("tofu", 30, False, "icy").decision == "check"


def test_a_cheese_of_no_known_kind_counts_as_soft():
    assert fridge("cheese", 6) == "discard"


def test_longer_times_elsewhere_are_named_and_do_not_bind():
    elsewhere, binds = judge_fridge("soup-stew", 6, None).notes

    assert "4 h at 40 °F or warmer" in elsewhere
    assert "Lake County CA, press release, 2018" in elsewhere
    assert binds == "the chart's 2 h are stricter than 4 h and bind"


def test_general_advice_does_not_overrule_a_row_about_the_food_itself():
    _, binds = judge_fridge("hard-cheese", 6, None).notes

    assert binds == "where the chart names a food itself, the chart is followed"


def test_where_all_agree_there_is_no_note():
    assert judge_fridge("soup-stew", 3, None).notes == ()


@pytest.mark.parametrize(
    ("hours_out", "is_full", "decision"),
    [(24, False, "keep"), (24.02, False, "check"), (48, True, "keep")]
    + [(48.02, True, "check")],
)
def test_a_shut_freezer_holds_a_day_half_full_and_two_days_full(
    hours_out, is_full, decision
):
    assert freezer("soup-stew", hours_out, is_full=is_full) == decision


def test_nobody_looked_so_both_rows_are_shown_the_worst_first():
    judged = judge_freezer("soup-stew", 30, False, None)

    assert judged.row == (
        "stews or soups: discard if thawed, above 4.4 °C (40 °F) for more than 2 h; "
        "refreeze if still icy or at most 4.4 °C (40 °F)"
    )


def test_what_is_lost_in_any_state_need_not_be_looked_at():
    assert freezer("ice-cream", 30) == "discard"


def test_what_was_found_counts_more_than_the_hours():
    assert freezer("soup-stew", 1, "warm") == "discard"
    assert freezer("soup-stew", 80, "icy") == "refreeze"


def test_vegetables_have_six_hours():
    assert freezer("whole-vegetables", 6, "warm") == "refreeze"
    assert freezer("whole-vegetables", 6.02, "warm") == "discard"


def test_fruit_is_frozen_again_unless_it_shows_that_it_is_gone():
    judged = judge_freezer("whole-fruit", 30, False, "warm")

    assert judged.decision == "refreeze"
    assert judged.row.endswith("but discard if mouldy, yeasty or slimy")


def test_what_is_frozen_again_loses_quality():
    judged = judge_freezer("soup-stew", 30, False, "icy")
    dough = judge_freezer("yeast-dough-raw", 30, False, "warm")

    assert judged.notes == ("what is frozen again loses quality",)
    assert "much of its quality" in dough.notes[0]


def test_juice_of_raw_meat_means_discard():
    assert any("raw meat" in one and "discard" in one for one in outage_cautions())


@pytest.mark.parametrize("wrong", [-1, float("nan"), float("inf")])
def test_hours_that_cannot_be_are_a_mistake_of_the_caller(wrong):
    with pytest.raises(ValueError, match="hours without power"):
        judge_fridge("soup-stew", wrong, None)


def test_a_state_that_cannot_be_found_is_a_mistake_of_the_caller():
    with pytest.raises(ValueError, match="icy or warm"):
        judge_freezer("soup-stew", 1, False, "soft")


@given(categories, near_hours, near_hours, st.none() | near_readings)
def test_longer_without_power_is_never_milder_in_a_fridge(category, one, two, end_c):
    short, long = sorted((one, two))
    less = judge_fridge(category, short, end_c)
    more = judge_fridge(category, long, end_c)

    assert less.severity <= more.severity


@given(categories, near_hours, near_readings, near_readings)
def test_a_warmer_reading_is_never_milder(category, hours_out, one, two):
    cold, warm = sorted((one, two))
    less = judge_fridge(category, hours_out, cold)
    more = judge_fridge(category, hours_out, warm)

    assert less.severity <= more.severity


@given(categories, near_hours, near_readings)
def test_after_four_hours_no_reading_is_as_strict_as_any(category, hours_out, end_c):
    unmeasured = judge_fridge(category, 4.01 + hours_out, None)
    measured = judge_fridge(category, 4.01 + hours_out, end_c)

    assert measured.severity <= unmeasured.severity


@given(categories, near_hours, near_hours, st.booleans(), findings)
def test_longer_without_power_is_never_milder_in_a_freezer(
    category, one, two, is_full, found
):
    short, long = sorted((one, two))
    less = judge_freezer(category, short, is_full, found)
    more = judge_freezer(category, long, is_full, found)

    assert less.severity <= more.severity


@given(categories, near_hours, st.booleans())
def test_warm_is_never_milder_than_icy(category, hours_out, is_full):
    icy = judge_freezer(category, hours_out, is_full, "icy")
    warm = judge_freezer(category, hours_out, is_full, "warm")

    assert icy.severity <= warm.severity


@given(categories, near_hours, findings)
def test_a_half_full_freezer_is_never_milder_than_a_full_one(
    category, hours_out, found
):
    full = judge_freezer(category, hours_out, True, found)
    half = judge_freezer(category, hours_out, False, found)

    assert full.severity <= half.severity


@given(categories, near_hours, st.none() | near_readings, findings)
def test_every_decision_says_why_and_where_it_comes_from(
    category, hours_out, end_c, found
):
    for judged in (
        judge_fridge(category, hours_out, end_c),
        judge_freezer(category, hours_out, False, found),
    ):
        assert judged.why
        assert judged.row
        assert judged.source.authority
        assert judged.record or "no row" in judged.row


def named(kind, key):
    folder = resources.files("lidclock.guidance") / "data"
    data = tomllib.loads((folder / "outage.toml").read_text("utf-8"))
    return [name for line in data[kind] for name in line.get(key, [])]


@pytest.mark.parametrize("kind", ["fridge", "freezer"])
@pytest.mark.parametrize("key", ["categories", "partly", "except"])
def test_the_charts_name_categories_that_there_are(kind, key):
    assert set(named(kind, key)) <= load_categories().keys()


@pytest.mark.parametrize("kind", ["fridge", "freezer"])
def test_no_category_stands_in_two_rows(kind):
    counts = Counter(named(kind, "categories") + named(kind, "partly"))

    assert [name for name, count in counts.items() if count > 1] == []
