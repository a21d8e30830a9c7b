"""`make`: what a cook reads, for one occasion and for the days to come."""

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from lidclock.app import moves
from lidclock.app.session import Fact, Session
from lidclock.domain.moments import from_local, zone_of
from lidclock.domain.planning import Item, Meal

CLUB = ("make", "--eaters", "112", "--spread", "6", "--short", "9", "--worth", "3")


def test_a_dinner_for_112_needs_117_portions_and_no_kitchen(newcomer):
    seen = newcomer.see(*CLUB)

    assert "prepare 117 portions for 112, give or take 6" in seen
    assert "critical ratio 0.75: one too few costs 9, one too many 3" in seen
    assert not newcomer.database.exists()


def test_one_fewer_and_one_more_are_shown_beside_it(newcomer):
    rows = [line.split() for line in newcomer.see(*CLUB).splitlines()[3:]]

    assert [row[0] for row in rows] == ["116", "117", "118"]
    assert rows[1][-1] == "<-"
    assert rows[1][1:5] == ["20.2", "%", "0.7", "5.7"]


def test_the_same_as_json(newcomer):
    answer = newcomer.data(*CLUB)

    assert (answer["prepare"], answer["ratio"], answer["exact"]) == (117, 0.75, 116.047)
    assert [one["portions"] for one in answer["choices"]] == [116, 117, 118]


def test_what_is_there_already_is_not_made(newcomer):
    assert "40 are there, so make 77" in newcomer.see(*CLUB, "--on-hand", "40")
    assert newcomer.data(*CLUB, "--on-hand", "200")["make"] == 0


def test_without_costs_it_goes_by_a_service_level(newcomer):
    """112 + 6 x 1.645 = 121.9."""
    seen = newcomer.see("make", "--eaters", "112", "--spread", "6")

    assert "prepare 122 portions" in seen
    assert "enough with 0.95: no costs given" in seen


def test_without_a_spread_it_says_so(newcomer):
    seen = newcomer.see("make", "--eaters", "40")

    assert "prepare 40 portions for 40" in seen
    assert "no --spread given" in seen


def test_afterwards_the_error_stands_beside_that_of_last_time(newcomer):
    after = ("--came", "115", "--made", "117", "--last-time", "108")

    seen = newcomer.see(*CLUB, *after)

    assert "came 115, expected 112: off by 3" in seen
    assert "nearer than the same as last time, which was off by 7" in seen
    assert "2 left over, 0 missing" in seen
    assert newcomer.data(*CLUB, *after)["outcome"] == {
        "came": 115,
        "off_by": 3,
        "left": 2,
        "missing": 0,
        "last_time_off_by": 7,
    }


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--eaters", "nan"], "eaters lies from 0 to 100,000"),
        (["--eaters", "1e300"], "eaters lies from 0 to 100,000"),
        (["--eaters", "-3"], "eaters lies from 0 to 100,000"),
        (["--eaters", "3", "--spread", "inf"], "the spread lies from 0"),
        (["--eaters", "3", "--short", "2"], "give both --short and --worth"),
        (["--eaters", "3", "--short", "0", "--worth", "1"], "must be more than 0"),
        (["--eaters", "3", "--service", "1"], "a service level lies from 0.01"),
        (
            ["--eaters", "3", "--service", ".9", "--short", "1", "--worth", "1"],
            "not both",
        ),
        (["--eaters", "3", "--made", "3"], "goes with --came"),
        (["--eaters", "3", "--came", "-1"], "came lies from 0"),
        (["--eaters", "3", "--days", "2"], "leave FOOD and --days out"),
        (["soup", "--eaters", "3"], "leave FOOD and --days out"),
        (["--short", "3"], "--short goes with --eaters"),
        (["--came", "3"], "--came goes with --eaters"),
    ],
)
def test_what_makes_no_sense_is_refused_in_a_line(newcomer, words, said):
    assert said in newcomer.fail(2, "make", *words)


def test_a_kitchen_without_a_record_has_nothing_to_go_by(cook):
    assert "nothing to go by" in cook.see("make")
    assert cook.data("make") == {"amounts": []}


def eaten_daily(cook, counts, first="2026-09-05", spare=0):
    """So many boxes of stew a day, made at nine, all but `spare` used at noon."""
    zone = zone_of("America/New_York")
    day = datetime.fromisoformat(f"{first}T09:00")
    for count in counts:
        cook.now = day.isoformat()
        if count:
            cook.run(
                *("prep", "stew", "--category", "soup-stew", "--count", str(count)),
                *("--place", "Fridge", "--no-labels"),
            )
            session = Session.open(
                cook.database, now=from_local(day + timedelta(hours=3), zone)
            )
            with session.write() as unit:
                found = unit.snapshots.find(food="stew")
                for one in sorted(found, key=lambda x: x.state == "freezer")[
                    : len(found) - spare
                ]:
                    moves.use(unit, one.code, anyway=True)
            session.close()
        day += timedelta(days=1)
    cook.now = day.isoformat()


def test_three_weeks_claim_no_forecast(cook):
    eaten_daily(cook, [2] * 21)

    listed, seen = cook.see("make"), cook.see("make", "stew")

    assert "3 weeks recorded" in listed
    assert "stew: make 10 portions to last 3 days, until Tue 29 Sep 09:00" in seen
    assert "3 weeks recorded; under 8 weeks no forecast is claimed" in seen
    assert "smoothed" not in seen
    assert "error a day" not in seen


def full_kitchen(cook):
    """Three weeks of stew, boxes in fridge and freezer, a supper on the list."""
    eaten_daily(cook, [2] * 21)
    prep = ("prep", "stew", "--no-labels", "--made", "today 08:00")
    cook.run(*prep, "--count", "4", "--place", "Fridge")
    cook.run(*prep, "--count", "2", "--place", "Freezer")
    begins = datetime.fromisoformat("2026-09-27T18:30")
    meal = Meal("m1", begins, "America/New_York", (Item("stew", 4),), "supper")
    zone = zone_of("America/New_York")
    now = from_local(datetime.fromisoformat(cook.now), zone)
    session = Session.open(cook.database, now=now)
    with session.write() as unit:
        unit.record([Fact("noted", "meal/m1", {"meal": meal.as_dict()})])
    session.close()


@pytest.mark.parametrize("words", [("make",), ("make", "stew"), CLUB])
def test_the_page_shows_what_the_screen_shows(cook, words):
    page = (Path(__file__).parents[2] / "docs" / "make.md").read_text("utf-8")
    if words != CLUB:
        full_kitchen(cook)

    seen = cook.see(*words)

    assert f"$ lidclock {' '.join(words)}\n{seen}```" in page


def test_days_with_nothing_there_compare_nothing(cook):
    eaten_daily(cook, [9, 0, 0, 0, 0, 0, 0] * 8)

    seen = cook.see("make", "stew")

    assert "48 days with none there" in seen
    assert "too few days with any of it there: no forecast is claimed" in seen
    assert "it ran out on 8 days: more may be wanted" in seen


def test_ours_is_hidden_where_a_naive_forecast_is_nearer(cook):
    """Nine every Saturday, else none: last week's weekday is never wrong."""
    cook.run(
        *("prep", "stew", "--category", "soup-stew", "--place", "Freezer"),
        *("--no-labels", "--made", "2026-09-05T08:00"),
        now="2026-09-05T08:00",
    )
    eaten_daily(cook, [9, 0, 0, 0, 0, 0, 0] * 8, spare=1)

    seen = cook.see("make", "stew", "--days", "1")
    (answer,) = cook.data("make", "stew", "--days", "1")["amounts"]

    assert "our own forecast did worse over the last 4 weeks: not shown" in seen
    assert "smoothed" not in seen
    (line,) = [line for line in seen.splitlines() if "same weekday" in line]
    # From nine in the morning 15 hours of the next Saturday are left: 9 x 15/24.
    assert line.split()[-4:-2] == ["5.6", "0.00"]
    assert line.split()[-1] == "<-"
    assert "1 frozen: take them out in time, and make" in seen
    methods = {one["method"]: one for one in answer["record"]["forecasts"]}
    assert methods.keys() == {"last week", "four weeks"}
    assert methods["last week"]["off_by"] == 0
    assert methods["four weeks"]["off_by"] > 2


def test_lists_fit_a_hundred_columns(cook):
    eaten_daily(cook, [2] * 8)

    for seen in (cook.see("make"), cook.see("make", "stew"), cook.see(*CLUB)):
        assert max(map(len, seen.splitlines())) <= 100


def test_a_hostile_name_is_told_in_one_line(cook):
    assert "no food" in cook.fail(11, "make", "st\x1b[2Jew\u202e")
