"""Counts under way, out of what was noted of them."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.domain.counting import (
    COUNTS_SUBJECT,
    Line,
    check_counts,
    counts_from,
    lines_from,
    lines_subject,
)
from lidclock.domain.events import Event

NOW = datetime(2026, 11, 3, 12, tzinfo=UTC)
BEGUN = {"count": "a", "place": "Freezer"}
ENDED = {"count": "a", "ended": "recorded"}


def event(number, subject, body, kind="noted"):
    at = NOW + timedelta(minutes=number)
    return Event(f"e{number}", kind, subject, at, at, "UTC", "ana", "", "act", body)


def taken_back(number, of):
    return event(number, COUNTS_SUBJECT, {"event": of, "void": True}, "corrected")


def test_a_count_is_open_until_it_ends_and_again_when_that_is_taken_back():
    events = [event(1, COUNTS_SUBJECT, BEGUN)]
    assert counts_from(events)["a"].is_open
    events.append(event(2, COUNTS_SUBJECT, ENDED))
    count = counts_from(events)["a"]
    assert (count.place, count.ended, count.act) == ("Freezer", "recorded", "act")
    assert count.began_at == NOW + timedelta(minutes=1)

    assert counts_from([*events, taken_back(3, "e2")])["a"].is_open
    assert counts_from([*events, taken_back(3, "e1")]) == {}


def test_the_lines_of_a_count_are_codes_and_text_in_order():
    subject = lines_subject("a")
    events = [
        event(2, subject, {"text": "?"}),
        event(1, subject, {"code": "4F7K2M0"}),
        event(3, COUNTS_SUBJECT, BEGUN),
    ]

    assert lines_from(sorted(events, key=lambda one: one.happened_at)) == [
        Line(NOW + timedelta(minutes=1), code="4F7K2M0"),
        Line(NOW + timedelta(minutes=2), text="?"),
    ]


@pytest.mark.parametrize(
    ("subject", "body"),
    [
        (COUNTS_SUBJECT, {"place": "Freezer"}),
        (COUNTS_SUBJECT, {"count": "a"}),
        (COUNTS_SUBJECT, {"count": "a", "place": 7}),
        (COUNTS_SUBJECT, {"count": "", "ended": "recorded"}),
        (lines_subject("a"), {"code": "4F7K2M1"}),
        (lines_subject("a"), {"text": 7}),
    ],
)
def test_a_malformed_count_is_found(subject, body):
    check_counts([event(1, COUNTS_SUBJECT, BEGUN), event(2, "food/x", {"count": 1})])

    with pytest.raises((KeyError, ValueError)):
        check_counts([event(1, subject, body)])
