"""What thaws is told from ten minutes before its hour until two hours after."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.alerts.voice import is_ready_due

READY = datetime(2026, 11, 1, 11, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("minutes", "is_due"),
    [(-11, False), (-10, True), (0, True), (119, True), (120, False)],
)
def test_it_is_told_about_its_hour(minutes, is_due):
    assert is_ready_due(READY, READY + timedelta(minutes=minutes)) is is_due
