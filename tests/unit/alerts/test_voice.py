"""What deserves a voice, the most urgent first."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from lidclock.alerts.voice import is_cooling_urgent, pick
from lidclock.domain.snapshots import Snapshot

ZONE = ZoneInfo("America/New_York")
NOW = datetime(2026, 11, 3, 12, tzinfo=UTC)
DAY = timedelta(days=1)


def box(code, hours=None, standing="dated", **more):
    ends = None if hours is None else NOW + timedelta(hours=hours)
    return Snapshot(code, "soup", standing, last_moment=ends, place="Fridge", **more)


def kinds(*boxes, within=DAY):
    return [(one.kind, one.container.code) for one in pick(boxes, NOW, ZONE, within)]


def test_the_most_urgent_comes_first():
    found = kinds(
        box("SOON", 20), box("NONE", None, "unknown"), box("OVER", -1), box("LAST", 2)
    )

    assert found == [
        ("over", "OVER"),
        ("last-day", "LAST"),
        ("soon", "SOON"),
        ("unknown", "NONE"),
    ]


def test_what_ends_later_keeps_quiet():
    assert kinds(box("LATER", 50)) == []


def test_a_longer_look_ahead_hears_more():
    assert kinds(box("LATER", 50), within=3 * DAY) == [("soon", "LATER")]


def test_what_is_frozen_is_heard_when_its_makers_date_comes():
    found = kinds(
        box("A", 5, "paused"), box("B", -5, "paused"), box("C", 500, "paused")
    )

    assert found == [("over", "B"), ("check", "A")]


def test_what_is_frozen_without_a_day_left_is_heard():
    assert kinds(box("A", None, "paused", days_left=0)) == [("check", "A")]


def test_what_has_no_place_is_heard_though_it_ends_late():
    assert kinds(box("LOOSE", 500, is_unmarked=True)) == [("unmarked", "LOOSE")]


def test_ended_containers_are_not_heard():
    assert kinds(box("GONE", -5, "ended")) == []


@pytest.mark.parametrize(
    ("minutes", "is_urgent"), [(31, False), (30, True), (0, True), (-60, True)]
)
def test_a_stage_of_cooling_is_urgent_from_half_an_hour_before(minutes, is_urgent):
    assert is_cooling_urgent(NOW + timedelta(minutes=minutes), NOW) is is_urgent
