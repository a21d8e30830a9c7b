"""Clock changes against the IANA time zone database as Python's zoneinfo reads it.

data/clock_changes.json holds the noted answers with their zones. The day that Apia
skipped (30 Dec 2011, when Samoa crossed the date line) is in the same database.
"""

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from lidclock.clock import judge
from lidclock.domain.foods import Food
from lidclock.domain.history import History, Stay
from lidclock.domain.moments import end_of_day, from_local, read_iso, zone_of
from lidclock.errors import InputError
from lidclock.guidance.load import load_set
from lidclock.plan.takeout import Hours, Way, option_of

DATA = Path(__file__).parent / "data" / "clock_changes.json"
CASES = {case["id"]: case for case in json.loads(DATA.read_text("utf-8"))}
NEW_YORK = zone_of("America/New_York")
CAIRO = zone_of("Africa/Cairo")
APIA = zone_of("Pacific/Apia")
CODE = load_set("us-food-code")
HOUR = timedelta(hours=1)


def made(made_at, state="fridge", zone=NEW_YORK, category="soup-stew"):
    stay = Stay(state, made_at, None, "", 3.0 if state == "fridge" else None)
    history = History(made_at=made_at, stays=(stay,))
    food = Food("food", category)
    return judge(food, history, CODE, zone=zone, now=made_at)


@pytest.mark.parametrize("case_id", ["tz.autumn.day", "tz.spring.day"])
def test_the_same_hour_next_day_is_25_or_23_hours_on(case_id):
    case = CASES[case_id]
    start = datetime.fromisoformat(case["inputs"]["from"])
    zone = zone_of(case["inputs"]["zone"])

    span = from_local(start + timedelta(days=1), zone) - from_local(start, zone)

    assert span == case["expected"] * HOUR


def test_four_hours_on_the_counter_end_where_the_clock_shows_three():
    case = CASES["tz.hold4.autumn"]
    verdict = made(from_local(datetime(2026, 11, 1, 0, 30), NEW_YORK), "counter")

    assert verdict.last_moment == datetime.fromisoformat(case["recomputed"])


def test_half_past_one_twice_gives_two_different_ends():
    first, second = (datetime.fromisoformat(x) for x in CASES["tz.fold"]["recomputed"])
    ends = [
        made(read_iso(f"2026-11-01T01:30:00{offset}", NEW_YORK), "counter").last_moment
        for offset in ("-04:00", "-05:00")
    ]

    assert ends == [first, second]


def test_half_past_one_without_an_offset_is_the_earlier():
    twice = read_iso("2026-11-01T01:30", NEW_YORK)

    assert twice == datetime(2026, 11, 1, 5, 30, tzinfo=UTC)


def test_a_seven_day_mark_spans_169_hours_in_autumn():
    case = CASES["tz.datemark"]
    midnight = from_local(datetime(2026, 10, 27), NEW_YORK)
    verdict = made(midnight)

    assert verdict.last_day == date(2026, 11, 2)
    assert verdict.last_moment - midnight == case["expected"] * HOUR


def test_a_seven_day_mark_spans_167_hours_in_spring():
    midnight = from_local(datetime(2026, 3, 5), NEW_YORK)

    assert made(midnight).last_moment - midnight == 167 * HOUR


def test_a_day_before_cairos_missing_midnight_ends_at_the_jump():
    case = CASES["tz.cairo"]
    jump = datetime.fromisoformat(case["recomputed"])

    assert end_of_day(date(2026, 4, 23), CAIRO) == jump


def test_cairos_missing_midnight_is_refused_with_its_neighbours():
    with pytest.raises(InputError, match=r"2026-04-23 23:59 or 2026-04-24 01:00"):
        from_local(datetime(2026, 4, 24), CAIRO)


def test_a_mark_across_cairos_jump_keeps_its_calendar_day():
    verdict = made(from_local(datetime(2026, 4, 17, 9), CAIRO), zone=CAIRO)

    assert verdict.last_day == date(2026, 4, 23)


def test_apias_missing_day_is_refused_with_its_neighbours():
    with pytest.raises(InputError, match=r"2011-12-29 23:59 or 2011-12-31 00:00"):
        from_local(datetime(2011, 12, 30, 12), APIA)


def test_a_mark_that_would_end_on_apias_missing_day_ends_the_day_before():
    """Made 24 Dec: day 7 is 30 Dec, which nobody lived."""
    verdict = made(from_local(datetime(2011, 12, 24, 9), APIA), zone=APIA)

    assert verdict.last_day == date(2011, 12, 29)
    assert verdict.last_moment == from_local(datetime(2011, 12, 31), APIA)


def test_eight_hours_of_proof_from_half_past_eleven_end_at_half_past_six():
    """Hours are UTC sums."""
    start = from_local(datetime(2026, 10, 31, 23, 30), NEW_YORK)
    expected = datetime.fromisoformat(CASES["scen.home.clock"]["recomputed"])

    assert start + 8 * HOUR == expected


def test_what_needs_eight_hours_by_half_past_six_comes_out_at_half_past_eleven():
    """The same night the other way round: out 23:30, ready 06:30, the alarm 06:20."""
    ready_by = datetime.fromisoformat(CASES["scen.home.clock"]["recomputed"])
    option = option_of(Way("fridge", "Fridge", Hours(8, 8, 8, "noted")), ready_by)

    assert option.take_out_at == from_local(datetime(2026, 10, 31, 23, 30), NEW_YORK)
    assert option.ready_high_at == ready_by
    alarm = option.alarm_at.astimezone(NEW_YORK)
    assert (alarm.hour, alarm.minute, alarm.utcoffset()) == (6, 20, -5 * HOUR)


@pytest.mark.parametrize(("day", "hours"), [("2026-11-01", 25), ("2026-03-08", 23)])
def test_an_evening_to_the_next_is_25_or_23_hours(day, hours):
    """tz.autumn.day and tz.spring.day: out at 18:00 by the clock of the day before."""
    ready_by = from_local(datetime.fromisoformat(f"{day} 18:00"), NEW_YORK)
    way = Way("fridge", "Fridge", Hours(hours, hours, hours, "noted"))
    out_at = option_of(way, ready_by).take_out_at.astimezone(NEW_YORK)

    assert (out_at.hour, out_at.minute) == (18, 0)
    assert out_at.date() == ready_by.astimezone(NEW_YORK).date() - timedelta(days=1)
