"""The same food under several authorities, side by side, reproduced by `compare`.

data/side_by_side.json is a table of published figures in days: the low and the high end
each authority prints for a food kept in the fridge from the day it was made or opened;
null where an authority prints none, or exempts the food. Its sources are the records of
data/guidance_records.json (US Food Code 3-501.17; the FoodSafety.gov chart; Ontario and
Newfoundland charts; FSS, NHS and a council in the UK; NSW Food Authority; New Zealand
Food Safety; FSAI). The figures were set side by side before any of our code existed.
"""

import json
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from lidclock.app.compare import Asked, compare
from lidclock.domain.foods import Food
from lidclock.domain.history import History, Stay
from lidclock.domain.moments import from_local, zone_of
from lidclock.guidance.load import load_set

ROWS = json.loads(
    (Path(__file__).parent / "data" / "side_by_side.json").read_text("utf-8")
)
CELLS = [(row, name, days) for row in ROWS for name, days in row["published"].items()]
ZONE = zone_of("UTC")
MADE_ON = date(2026, 11, 2)
MADE = from_local(datetime(2026, 11, 2, 12), ZONE)


def asked(row):
    """Made or opened on Mon 2 Nov and in a cold fridge ever since."""
    food = Food(row["row"], row["category"], (), row["made_by"])
    is_pack = row["made_by"] == "maker"
    history = History(
        made_at=None if is_pack else MADE,
        opened_at=MADE if is_pack else None,
        stays=(Stay("fridge", MADE, temp_c=2.0),),
    )
    return Asked(food, history, ZONE, MADE, load_set("us-home"))


@pytest.mark.parametrize(
    ("row", "name", "days"),
    CELLS,
    ids=[f"{row['row']}-{name}" for row, name, _ in CELLS],
)
def test_compare_gives_the_published_days(row, name, days):
    (verdict,) = compare(asked(row), [name])
    last, plan = verdict.last_day, verdict.plan_by

    if days is None:
        assert verdict.status == "unknown"
    else:
        assert last == MADE_ON + timedelta(days=days[1] - 1)
        assert (plan or last) == MADE_ON + timedelta(days=days[0] - 1)


def after_thaw(row):
    """Made on Mon 2 Nov, frozen that evening, thawed in the fridge on Fri 20 Nov."""
    froze, thawed = MADE + timedelta(hours=8), MADE + timedelta(days=18)
    stays = (
        Stay("fridge", MADE, froze, temp_c=2.0),
        Stay("freezer", froze, thawed),
        Stay("fridge", thawed, temp_c=2.0),
    )
    one = asked(row)
    return Asked(
        one.food, History(made_at=MADE, stays=stays), ZONE, thawed, one.guidance
    )


@pytest.mark.parametrize(
    ("name", "last_moment"),
    [
        # The remainder of seven days: one is used, the day of thawing is the second.
        ("us-food-code", datetime(2026, 11, 26)),
        ("uk-home", datetime(2026, 11, 21, 12)),  # FSA: 24 h
        ("uk-catering", datetime(2026, 11, 21, 12)),
        ("au", datetime(2026, 11, 21, 12)),  # NSW: 24 h
    ],
)
def test_after_thawing_ready_to_eat_food_has_the_published_time(name, last_moment):
    (verdict,) = compare(after_thaw(ROWS[0]), [name])

    assert verdict.last_moment == from_local(last_moment, ZONE)


@pytest.mark.parametrize(
    ("name", "hours"),
    [("us-food-code", 4), ("us-home", 2), ("uk-catering", 4), ("au", 4), ("nz", 2)],
)
def test_out_of_the_fridge_it_has_the_published_hours(name, hours):
    """A salad with a house rule, out from the start; NZ's 2 h is the WHO's."""
    one = asked(next(row for row in ROWS if row["category"] == "egg-salad"))
    food = replace(one.food, house_days=3)
    history = History(made_at=MADE, stays=(Stay("counter", MADE),))
    (verdict,) = compare(Asked(food, history, ZONE, MADE, one.guidance), [name])

    assert verdict.last_moment == MADE + timedelta(hours=hours)


# The same authority, another edition: the figure in force stands with its year.
@pytest.mark.parametrize(
    ("name", "rule_id", "days", "year"),
    [
        ("us-home", "us.home.salads.fridge", (3, 4), "2021-2024"),  # was 3-5
        ("us-home", "us.home.ham_sliced.fridge", (3, 5), "2021-2024"),  # was 3-4
        ("us-home", "us.home.ham_can_open.fridge", (3, 4), "2021-2024"),  # was 5-14
        ("us-home", "us.home.fish_fatty.fridge", (1, 3), "2021-2024"),  # was 1-2
        ("us-home", "us.home.steaks.freezer", (4, 12), "2021-2024"),  # was 6-12
        ("us-home", "us.home.chops.freezer", (4, 12), "2021-2024"),  # was 4-6
        ("us-food-code", "us.fc.rop30", (30, 30), "2013-2022"),  # was 14
        ("us-food-code", "us.fc.cc.41_7", (7, 7), "2013-2022"),  # was 72 h
    ],
)
def test_the_newer_edition_is_in_force_and_its_year_is_kept(name, rule_id, days, year):
    rule = next(one for one in load_set(name).rules if one.id == rule_id)

    assert (rule.low, rule.high) == days
    assert rule.source.year == year
