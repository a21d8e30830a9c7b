"""RFC 5545 (September 2009): the examples of 3.8.5.3 and the local times of 3.3.5.

data/recurrence_rfc5545.json holds the document's rules and the dates it prints, with
the letters of the zone that it prints beside them. Rules that go on are compared as far
as the document prints them.
"""

import json
import re
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from lidclock.app.meals import occurrences
from lidclock.domain.moments import MONTHS, zone_of
from lidclock.domain.planning import Item, Meal

DATA = json.loads(
    (Path(__file__).parent / "data" / "recurrence_rfc5545.json").read_text("utf-8")
)
ZONE = zone_of(DATA["zone"])
EXAMPLES = [
    pytest.param(one, rule, id=f"{one['says']}-{number}")
    for one in DATA["examples"]
    for number, rule in enumerate(one["rules"])
]
BEFORE_ALL = datetime(1990, 1, 1, tzinfo=UTC)
LONG_AFTER = datetime(2040, 1, 1, tzinfo=UTC)


def printed(lines):
    """`1997 EDT: Sep 2-4; Oct 1,3` as days with the letters of their zone."""
    found = []
    for line in lines:
        year, letters, rest = re.fullmatch(r"(\d{4}) (\w+): (.*)", line).groups()
        for part in rest.split("; "):
            month, days = part.split(" ")
            for days_on in days.split(","):
                first, _, last = days_on.partition("-")
                for day in range(int(first), int(last or first) + 1):
                    on = date(int(year), MONTHS.index(month) + 1, day)
                    found.append((on, letters))
    return found


def meal(begins, rule, without=()):
    days = tuple(map(date.fromisoformat, without))
    return Meal("m", begins, ZONE.key, (Item("bread"),), rule=rule, without=days)


def test_the_document_s_examples_are_all_there():
    """Of 39, one by weeks and four by hours are left out; two have two rules."""
    assert len(DATA["examples"]) == 39 - 5
    assert len(EXAMPLES) == 34 + 2
    assert len(DATA["left_out"]) == 2


@pytest.mark.parametrize(("example", "rule"), EXAMPLES)
def test_a_published_rule_falls_on_its_published_days(example, rule):
    begins = datetime.fromisoformat(example["begins"])
    wanted = printed(example["dates"])

    found = occurrences(
        [meal(begins, rule, example.get("without", ()))], BEFORE_ALL, LONG_AFTER
    )
    if example["goes_on"]:
        assert len(found) > len(wanted)
        found = found[: len(wanted)]

    local = [one.at.astimezone(ZONE) for one in found]
    assert [(one.date(), one.tzname()) for one in local] == wanted
    assert {f"{one:%H:%M}" for one in local} == {DATA["clock"]}
    assert [one.on for one in found] == [day for day, _ in wanted]


@pytest.mark.parametrize("case", DATA["local_times"]["cases"], ids=lambda x: x["local"])
def test_a_local_time_that_occurs_twice_or_never_is_read_as_printed(case):
    """Page 33 (3.3.5): the first of two; the offset before the gap for none."""
    local, instant = map(datetime.fromisoformat, (case["local"], case["is"]))
    day = timedelta(days=1)
    daily = meal(local - 3 * day, "FREQ=DAILY")

    (once,) = occurrences([meal(local, "")], BEFORE_ALL, LONG_AFTER)
    by_rule = occurrences([daily], instant - day / 2, instant + day / 2)

    assert once.at == instant
    assert [one.at for one in by_rule] == [instant]
    assert by_rule[0].on == local.date()
