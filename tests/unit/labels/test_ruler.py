"""The day rule: a notch a day, the last one filled, numbers that stay apart."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest

from lidclock.labels import Ruler
from lidclock.labels.ruler import rule

FIRST = date(2026, 10, 31)
LENGTHS = [1, 2, 3, 7, 14, 15, 21, 31, 45]


def days(count: int) -> Ruler:
    return Ruler(FIRST, FIRST + timedelta(days=count - 1))


@pytest.mark.parametrize("count", LENGTHS)
def test_there_is_one_notch_a_day(count):
    assert len(rule(days(count), 31).ticks) == count


@pytest.mark.parametrize("count", LENGTHS)
def test_the_disc_marks_the_last_day(count):
    drawn = rule(days(count), 31)

    assert drawn.disc[0] == drawn.ticks[-1][0]


@pytest.mark.parametrize("count", LENGTHS)
def test_numbers_stand_apart(count):
    spans = [mark.span() for mark in rule(days(count), 31).numbers]

    assert all(b[0] - a[1] >= 0.4 for a, b in pairwise(spans))


@pytest.mark.parametrize("count", LENGTHS)
def test_months_stand_apart(count):
    spans = [mark.span() for mark in rule(days(count), 31).months]

    assert all(b[0] - a[1] >= 0.4 for a, b in pairwise(spans))


@pytest.mark.parametrize("count", LENGTHS)
def test_marks_stay_within_the_rule(count):
    drawn = rule(days(count), 31)
    spans = [mark.span() for mark in (*drawn.numbers, *drawn.months)]

    assert min(a for a, _ in spans) >= -1e-9
    assert max(b for _, b in spans) <= drawn.width + 1e-9
    assert drawn.width <= 31 + 1e-9


@pytest.mark.parametrize("count", LENGTHS)
def test_the_last_day_is_always_numbered(count):
    last = days(count).last

    assert rule(days(count), 31).numbers[-1].text == str(last.day)


def test_a_week_numbers_every_day():
    drawn = rule(days(7), 31)

    assert [mark.text for mark in drawn.numbers] == ["31", "1", "2", "3", "4", "5", "6"]


def test_a_long_rule_thins_its_notches():
    assert rule(days(15), 31).tick_width < rule(days(14), 31).tick_width


def test_the_month_of_the_last_day_is_named():
    assert rule(days(4), 31).months[-1].text == "Nov"


def test_months_may_be_in_another_language():
    months = tuple(f"m{n}" for n in range(1, 13))
    ruler = Ruler(FIRST, FIRST, months=months)

    assert [mark.text for mark in rule(ruler, 31).months] == ["m10"]


@pytest.mark.parametrize("count", [60, 400])
def test_a_rule_that_could_not_be_read_is_left_out(count):
    assert rule(days(count), 31) is None


def test_no_rule_fits_no_room():
    assert rule(days(3), 1.0) is None


def test_skipped_days_leave_one_break():
    skipped = tuple(FIRST + timedelta(days=n) for n in range(1, 5))
    drawn = rule(Ruler(FIRST, FIRST + timedelta(days=6), skipped), 31)

    assert (len(drawn.ticks), len(drawn.breaks)) == (3, 1)
