"""A database in a temporary file, with one kitchen in it."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from lidclock.domain.events import Event
from lidclock.domain.kitchens import Kitchen, Place
from lidclock.store import Database, Kitchens

START = datetime(2026, 10, 31, 12, 0, tzinfo=UTC)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "kitchen.db"


@pytest.fixture
def database(path: Path) -> Iterator[Database]:
    with Database.open(path, create=True) as database:
        with database.begin() as connection:
            home = Kitchen("home", "Home", "America/New_York")
            Kitchens(connection).add(home, [Place("Fridge", "fridge")])
        yield database


@pytest.fixture
def event() -> Callable[..., Event]:
    """Make event number `n`, which happened `n` minutes after the start."""

    def make(n: int, kind: str = "noted", subject: str = "C", **facts: Any) -> Event:
        at = START + timedelta(minutes=n)
        times = {"happened_at": at, "recorded_at": at, "zone": "UTC"}
        return Event(f"id-{n:06}", kind, subject, **{**times, **facts})

    return make
