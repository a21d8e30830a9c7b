"""Occasions out of events: what stands, what replaces what, what is refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.domain.events import Event
from lidclock.domain.occasions import (
    Occasion,
    checked_occasion,
    occasion_subject,
    occasions_from,
    read_occasion_body,
)
from lidclock.domain.planning_checks import is_planning_subject, refuse_bad_planning
from lidclock.errors import InputError

NOW = datetime(2026, 11, 3, 12, tzinfo=UTC)
DAYS = st.dates(date(2026, 10, 1), date(2026, 10, 4))
CAME = st.integers(0, 500)
DINNER = Occasion("Club dinner", date(2026, 11, 2), 115, 112.0, 117, 2)


def noted(number: int, one: Occasion, **change: object) -> Event:
    event = Event(
        id=f"019a0000-0000-7000-8000-{number:012x}",
        kind="noted",
        subject=occasion_subject(one.name),
        happened_at=NOW,
        recorded_at=NOW + timedelta(minutes=number),
        zone="UTC",
        body={"occasion": one.as_dict()},
    )
    return replace(event, **change)  # type: ignore[arg-type]


def test_what_was_off_left_and_missing() -> None:
    assert (DINNER.off_by, DINNER.left, DINNER.missing) == (3, 2, 0)
    short = replace(DINNER, made=110, expected=None)
    assert (short.off_by, short.left, short.missing) == (None, 0, 5)
    assert replace(DINNER, made=None).left is None


def test_the_same_day_once_more_replaces_and_another_day_does_not() -> None:
    again = replace(DINNER, came=116)
    earlier = replace(DINNER, name="club dinner", on=date(2026, 10, 1))
    events = [noted(2, again), noted(1, DINNER), noted(3, earlier)]

    assert occasions_from(events) == [earlier, again]


@given(st.lists(st.tuples(DAYS, CAME), max_size=6), st.randoms())
def test_the_order_and_number_in_which_events_arrive_change_nothing(told, chance):
    """No fact is lost: of what was said of a day, what was recorded last counts."""
    events = [
        noted(at, replace(DINNER, on=day, came=came))
        for at, (day, came) in enumerate(told)
    ]
    arrived = [*events, *chance.choices(events, k=3)] if events else []
    chance.shuffle(arrived)

    found = {one.on: one.came for one in occasions_from(arrived)}
    assert found == dict(told)


def test_what_was_taken_back_leaves_what_was_said_before() -> None:
    again = noted(2, replace(DINNER, came=116))
    undo = replace(
        noted(3, DINNER), kind="corrected", body={"event": again.id, "void": True}
    )

    assert occasions_from([noted(1, DINNER), again, undo]) == [DINNER]


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"name": ""}, "has a name"),
        ({"name": "x" * 201}, "has a name"),
        ({"name": "two  blanks"}, "is no name"),
        ({"name": "a\nb"}, "is no name"),
        ({"came": -1}, "how many came lies"),
        ({"came": 115.5}, "how many came lies"),
        ({"came": True}, "how many came lies"),
        ({"came": None}, "how many came lies"),
        ({"expected": float("nan")}, "how many were expected lies"),
        ({"expected": 100_001}, "how many were expected lies"),
        ({"made": "117"}, "how many portions there were lies"),
        ({"wasted": 0.5}, "how many portions were wasted lies"),
        ({"wasted": 118}, "118 wasted of 117 made cannot be"),
    ],
)
def test_what_cannot_be_is_refused_in_words(change, says) -> None:
    with pytest.raises(InputError, match=says):
        checked_occasion(replace(DINNER, **change))


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"occasion": None},
        {"occasion": {**DINNER.as_dict(), "more": 1}},
        {"occasion": {**DINNER.as_dict(), "on": "yesterday"}},
        {"occasion": {**DINNER.as_dict(), "on": 7}},
        {"occasion": {**DINNER.as_dict(), "came": "many"}},
        {"occasion": {**DINNER.as_dict(), "name": "another"}},
    ],
)
def test_a_file_with_an_occasion_that_cannot_be_read_is_refused(body) -> None:
    event = noted(1, DINNER, body=body)

    assert is_planning_subject(event.subject)
    refuse_bad_planning([noted(2, DINNER)])
    with pytest.raises(InputError, match="occasion/club dinner"):
        refuse_bad_planning([event])


def test_an_occasion_reads_as_it_was_written() -> None:
    subject = occasion_subject(DINNER.name)

    assert read_occasion_body(subject, {"occasion": DINNER.as_dict()}) == DINNER
