"""Generated foods, histories and places that several property tests share."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from hypothesis import strategies as st

from lidclock.clock import Verdict
from lidclock.domain.foods import MADE_BY, PACKS, TIME_ONLY_HOURS, Food
from lidclock.domain.history import Component, History, Stay
from lidclock.domain.moments import end_of_day, local_date, zone_of
from lidclock.guidance.load import load_categories, load_set, set_names

ONE_DAY = timedelta(days=1)
FAR = datetime.max.replace(tzinfo=UTC)
ALL_SETS = {name: load_set(name) for name in set_names()}
# What carries the days that were left over a freezing, and what starts fresh hours.
SETS = {k: one for k, one in ALL_SETS.items() if one.counting.fresh_hours is None}
FRESH_SETS = {k: one for k, one in ALL_SETS.items() if k not in SETS}
# Every set's limits counted the other way as well: its rules meet both.
FRESH_SETS |= {
    f"{name}, fresh hours": one.with_counting(fresh_hours=24)
    for name, one in SETS.items()
}
CATEGORIES = tuple(load_categories())

# Each zone with a day near one of its clock changes: New York (autumn and spring),
# Cairo (no midnight), Apia (no 30 Dec 2011), Havana (midnight twice), Lord Howe
# (half an hour), and one place without changes.
WHEREABOUTS = (
    ("America/New_York", datetime(2026, 10, 29, tzinfo=UTC)),
    ("America/New_York", datetime(2026, 3, 6, tzinfo=UTC)),
    ("Africa/Cairo", datetime(2026, 4, 21, tzinfo=UTC)),
    ("Pacific/Apia", datetime(2011, 12, 28, tzinfo=UTC)),
    ("America/Havana", datetime(2026, 10, 29, tzinfo=UTC)),
    ("Australia/Lord_Howe", datetime(2026, 4, 2, tzinfo=UTC)),
    ("UTC", datetime(2024, 2, 26, tzinfo=UTC)),
)
# A state and the temperature known there, if any. The counter of a cold larder is
# 3 °C; a hot hold at 50 °C is not hot enough for any authority.
SPOTS = (
    ("fridge", None),
    ("fridge", 3.0),
    ("fridge", 4.4),
    ("fridge", 8.0),
    ("freezer", None),
    ("freezer", None),
    ("counter", None),
    ("counter", 3.0),
    ("counter", 21.0),
    ("counter", 35.0),
    ("hot", None),
    ("hot", 65.0),
    ("hot", 50.0),
)
_MINUTES = st.one_of(st.integers(1, 150), st.integers(150, 6000))
# Built once: to build them for each history took longer than to judge it.
_LEGS = st.tuples(st.sampled_from(SPOTS), _MINUTES)
_STAYS = {most: st.lists(_LEGS, min_size=1, max_size=most) for most in range(1, 9)}
_BOOLEANS = st.booleans()
_LATER = st.integers(0, 9000)
_PERHAPS_LATER = st.none() | _LATER
_HEATED = st.lists(st.integers(1, 9000), max_size=1)
_SHELF = st.sampled_from([*[None] * 21, *range(21)])
_FIRST_DAYS = st.integers(0, 5 * 1440)
_ONE_IN_THREE, _PARTS = st.integers(0, 2), st.integers(1, 2)
# Up to two readings of a cooling, in time and late, cold and warm.
_COOLINGS = st.lists(
    st.tuples(_LATER, st.sampled_from([None, 3.0, 15.0, 40.0])), max_size=2
)

# By name: a whole set would drown the report of a failing example.
set_ids = st.sampled_from(sorted(SETS))
all_set_ids = st.sampled_from(sorted(ALL_SETS))
categories = st.sampled_from(CATEGORIES)
whereabouts = st.sampled_from(WHEREABOUTS).map(lambda at: (zone_of(at[0]), at[1]))


def minutes(count: float) -> timedelta:
    return timedelta(minutes=count)


later = st.integers(0, 40 * 1440).map(minutes)
foods = st.builds(
    Food,
    name=st.just("food"),
    category=categories,
    made_by=st.sampled_from(MADE_BY),
    pack=st.sampled_from(("air", "air", *PACKS)),
    house_days=st.sampled_from([*[None] * 12, *range(1, 13)]),
    ph=st.sampled_from([*[None] * 8, 3.9, 4.6, 5.0, 6.5]),
    aw=st.sampled_from([*[None] * 6, 0.85, 0.91, 0.96]),
    time_only_hours=st.sampled_from([None, None, *TIME_ONLY_HOURS]),
)


@st.composite
def stays_from(draw: st.DrawFn, began: datetime, most: int = 5) -> tuple[Stay, ...]:
    """Stays without gaps from `began` on; the last one lasts."""
    legs = draw(_STAYS[most])
    stays, at = [], began
    for (state, temp_c), length in legs:
        stays.append(Stay(state, at, at + minutes(length), temp_c=temp_c))
        at += minutes(length)
    stays[-1] = replace(stays[-1], ended=None)
    if draw(_BOOLEANS) and stays[0].state == "counter":
        stays[0] = replace(stays[0], temp_c=None, recorded=False)
    return tuple(stays)


@st.composite
def histories_from(
    draw: st.DrawFn, made_at: datetime, depth: int = 2, reheats: bool = True
) -> History:
    """A history that began at `made_at`, with parts up to `depth` deep."""
    stays = draw(stays_from(made_at))
    parts = []
    if depth and draw(_ONE_IN_THREE) == 0:
        for _ in range(draw(_PARTS)):
            earlier = made_at - minutes(draw(_MINUTES))
            past = draw(histories_from(earlier, depth - 1, reheats))
            parts.append(Component("part", draw(foods), past))
    heated = draw(_HEATED) if reheats else []
    shelf = draw(_SHELF)
    opened = draw(_PERHAPS_LATER)
    return History(
        made_at=made_at,
        opened_at=None if opened is None else made_at + minutes(opened),
        stays=stays,
        reheated_at=tuple(made_at + minutes(n) for n in heated),
        coolings=tuple((made_at + minutes(n), c) for n, c in draw(_COOLINGS)),
        maker_use_by=None if shelf is None else made_at.date() + shelf * ONE_DAY,
        components=tuple(parts),
    )


@st.composite
def cases(draw: st.DrawFn, depth: int = 2, reheats: bool = True):  # type: ignore[no-untyped-def]
    """A zone, a food and its history: what the clock is asked about."""
    zone, base = draw(whereabouts)
    made_at = base + minutes(draw(_FIRST_DAYS))
    return zone, draw(foods), draw(histories_from(made_at, depth, reheats))


def strictest(verdict: Verdict) -> datetime:
    """When the first of its limits is passed, whatever the status says; else never."""
    moments = [x.over_at for x in verdict.limits if x.over_at is not None]
    return min(moments, default=FAR)


def thawed_days(history: History, first: date, last: date, zone) -> int:  # type: ignore[no-untyped-def]
    """Calendar days from `first` to `last` with time outside the freezer.

    Counted by brute force, one day after the other; the first day always counts.
    """
    count, day = 1, first + ONE_DAY
    warm = [stay for stay in history.stays if stay.state != "freezer"]
    while day <= last:
        start, end = end_of_day(day - ONE_DAY, zone), end_of_day(day, zone)
        count += any(
            stay.began < end and (stay.ended is None or stay.ended > start)
            for stay in warm
            if start < end
        )
        day += ONE_DAY
    return count


def day_of(at: datetime, zone) -> date:  # type: ignore[no-untyped-def]
    return local_date(at, zone)
