"""All-number dates that read validly both ways: 132 of a year's 365, 36.2 %.

data/planning_checks.json, date.ambiguous: a count of the calendar, no publication. What
reads a person's dates is asked: it must name both readings for exactly those.
"""

import json
import re
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from lidclock.cli.when import read_day
from lidclock.domain.moments import zone_of
from lidclock.errors import InputError

_FILE = Path(__file__).parent / "data" / "planning_checks.json"
CASES = {one["id"]: one for one in json.loads(_FILE.read_text("utf-8"))["cases"]}
CASE = CASES["date.ambiguous"]


def readings(day):
    """How many dates the program finds in the numbers of `day`; it accepts none."""
    zone, now = zone_of("UTC"), datetime(day.year, 7, 1, tzinfo=UTC)
    try:
        read_day(f"{day.day}/{day.month}/{day.year}", zone, now)
    except InputError as error:
        return len(re.findall(r"\d+ [A-Z][a-z]{2}\b", str(error)))
    return 0


def test_132_dates_of_a_year_read_both_ways():
    first = date(CASE["inputs"]["year"], 1, 1)
    days = [first + timedelta(days=number) for number in range(365)]

    counted = [readings(day) for day in days]

    two_ways = counted.count(2)
    assert two_ways + counted.count(1) == 365
    assert [two_ways, round(100 * two_ways / 365, 1)] == CASE["recomputed"]
