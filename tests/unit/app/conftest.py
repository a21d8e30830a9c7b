"""A small kitchen on a real database, opened at any moment."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from lidclock.app import setup
from lidclock.app.session import Session
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.moments import from_local, zone_of

ZONE = zone_of("America/New_York")


def at(text: str) -> datetime:
    """The instant of a New York wall-clock time."""
    return from_local(datetime.fromisoformat(text), ZONE)


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Callable[..., Session]]:
    """`opened("2026-10-31T18:00")`: the kitchen at that moment."""
    path = tmp_path / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Test kitchen", "America/New_York"))
    sessions: list[Session] = []

    def open_at(moment: str, who: str = "") -> Session:
        session = Session.open(path, now=at(moment), who=who, device="test")
        sessions.append(session)
        return session

    yield open_at
    for session in sessions:
        session.close()
