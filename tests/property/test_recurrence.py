"""Rules of recurrence over generated rules, against dateutil and against themselves."""

import datetime as datetime_module
from datetime import UTC, date, datetime, timedelta
from itertools import islice
from types import SimpleNamespace
from unittest import mock

import pytest
from dateutil import rrule as rrule_module
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st

from lidclock.app.meals import occurrences
from lidclock.domain.moments import zone_of
from lidclock.domain.planning import Item, Meal
from lidclock.domain.recurrence import WEEKDAY_CODES, falls, first_fall
from lidclock.domain.rule_text import read_rule
from lidclock.errors import InputError

NEW_YORK = zone_of("America/New_York")
DAY = timedelta(days=1)
YEARS = 6

begins = st.datetimes(datetime(1996, 1, 1), datetime(2031, 12, 31)).map(
    lambda x: x.replace(second=0, microsecond=0)
)
zones = st.sampled_from(
    ["UTC", "America/New_York", "Europe/London", "Pacific/Apia", "Africa/Cairo"]
).map(zone_of)


def some(numbers, most=4):
    return st.lists(numbers, min_size=1, max_size=most, unique=True).map(
        lambda found: ",".join(map(str, found))
    )


def signed(most):
    return st.integers(-most, most).filter(bool)


@st.composite
def rules(draw, *, ends=True):
    """Text of a rule that RFC 5545, 3.3.10, allows.

    Either all of its weekdays bear a number or none: of both dateutil takes only the
    days that are in both lists, where the document has them side by side. Positions
    in a week are left out: dateutil counts the first week from its first time on.
    """
    freq = draw(st.sampled_from(["DAILY", "WEEKLY", "MONTHLY", "YEARLY"]))
    parts = {"FREQ": freq, "INTERVAL": draw(st.integers(1, 5))}
    is_numbered = freq in ("MONTHLY", "YEARLY") and draw(st.booleans())
    which = st.sampled_from(["1", "2", "-1", "-2", "5"])
    days = st.tuples(which if is_numbered else st.just(""), weekday_codes)
    if draw(st.booleans()):
        parts["BYDAY"] = draw(some(days.map("".join)))
    if draw(st.booleans()):
        parts["BYMONTH"] = draw(some(st.integers(1, 12), 6))
    if freq != "WEEKLY" and draw(st.booleans()):
        parts["BYMONTHDAY"] = draw(some(signed(31), 8))
    if freq == "YEARLY" and draw(st.integers(0, 3)) == 0:
        parts["BYYEARDAY"] = draw(some(signed(366), 60))
    if len(parts) > 2 and freq != "WEEKLY" and draw(st.booleans()):
        parts["BYSETPOS"] = draw(some(signed(6)))
    if draw(st.booleans()):
        parts["WKST"] = draw(weekday_codes)
    if ends and draw(st.integers(0, 2)) == 0:
        parts["COUNT"] = draw(st.integers(1, 30))
    elif ends and draw(st.booleans()):
        until = draw(st.datetimes(datetime(1996, 1, 1), datetime(2036, 1, 1)))
        parts["UNTIL"] = f"{until:%Y%m%dT%H%M%S}"
    return ";".join(f"{name}={value}" for name, value in parts.items())


weekday_codes = st.sampled_from(WEEKDAY_CODES)


def by_dateutil(text, begun, until):
    """Its naive times up to `until`.

    It cannot be stopped between two days that are far apart, so its calendar is cut
    short: it leaves off after the year of MAXYEAR.
    """
    short = SimpleNamespace(**{**vars(datetime_module), "MAXYEAR": until.year})
    with mock.patch.object(rrule_module, "datetime", short):
        found = list(islice(rrulestr(text, dtstart=begun), 5000))
    return [one for one in found if one <= until]


@given(rules(), begins)
def test_days_are_those_that_dateutil_finds(text, begun):
    until = datetime.combine(begun.date() + YEARS * 365 * DAY, begun.time())

    found = list(falls(read_rule(text), begun, NEW_YORK, begun.date(), until.date()))

    assert found == by_dateutil(text, begun, until)


@given(rules(), begins)
def test_what_is_said_never_to_fall_does_not_by_dateutil(text, begun):
    until = datetime.combine(begun.date() + YEARS * 365 * DAY, begun.time())

    first = first_fall(read_rule(text), begun, NEW_YORK)

    others = by_dateutil(text, begun, until)
    assert others[:1] == ([first] if first is not None and first <= until else [])


@given(rules(), begins, st.integers(0, 3000), st.integers(0, 800))
def test_a_window_is_a_cut_out_of_the_whole(text, begun, skipped, length):
    rule = read_rule(text)
    first_on = begun.date() + skipped * DAY
    last_on = first_on + length * DAY
    whole = falls(rule, begun, NEW_YORK, begun.date(), last_on)

    window = list(falls(rule, begun, NEW_YORK, first_on, last_on))

    assert window == [one for one in whole if one.date() >= first_on]


@given(
    st.lists(st.tuples(rules() | st.just(""), begins), max_size=4),
    zones,
    st.lists(st.dates(date(2000, 1, 1), date(2030, 1, 1)), max_size=5),
    begins,
    st.integers(0, 400),
)
def test_occurrences_stand_in_order_within_their_window(
    told, zone, without, after, length
):
    meals = [
        Meal(f"m{n}", begun, zone.key, (Item("a"),), rule=text, without=tuple(without))
        for n, (text, begun) in enumerate(told)
    ]
    after = after.replace(tzinfo=UTC)
    before = after + length * DAY

    found = occurrences(meals, after, before)

    assert [one.at for one in found] == sorted(one.at for one in found)
    assert all(after <= one.at < before for one in found)
    assert len({one.key for one in found}) == len(found)
    assert len({(one.meal.id, one.at) for one in found}) == len(found)
    assert not {one.on for one in found} & set(without)
    for one in found:
        local = one.at.astimezone(zone).replace(tzinfo=None)
        wall = datetime.combine(one.on, one.meal.begins.time())
        gap = local - wall  # more than nothing only where clocks jumped over it
        assert gap == timedelta(0) or (
            gap > timedelta(0)
            and wall.replace(tzinfo=zone).astimezone(UTC) == one.at
            and local != wall
        )


@given(st.text(max_size=60) | st.text("FREQ=;,DAILYWKUNTBS0123456789-+TZ", max_size=60))
def test_any_text_is_read_or_refused_in_words(text):
    try:
        rule = read_rule(text)
    except InputError:
        return

    assert rule.freq in text.upper()


@given(rules(ends=False), st.sampled_from(["HOURLY", "MINUTELY", "SECONDLY"]))
def test_rules_within_a_day_are_refused(text, freq):
    own = read_rule(text).freq

    with pytest.raises(InputError, match="too often"):
        read_rule(text.replace(f"FREQ={own}", f"FREQ={freq}"))
