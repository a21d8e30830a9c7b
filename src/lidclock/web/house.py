"""The kitchen that is served: one open database, a session for each request."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from lidclock.app.now import now as present
from lidclock.app.serving import open_house, session_in
from lidclock.app.session import Session
from lidclock.app.values import Database

Clock = Callable[[], datetime]


@dataclass(frozen=True)
class House:
    """One kitchen's database, open as long as it is served; `clock` tells the time."""

    database: Database
    clock: Clock = present

    @classmethod
    def open(cls, path: Path, clock: Clock = present) -> House:
        """The kitchen in the database at `path`; StoreError if there is none."""
        return cls(open_house(path), clock)

    def session(self, who: str = "", device: str = "page") -> Session:
        """Somebody in the kitchen now, as the kitchen is now."""
        return session_in(self.database, now=self.clock(), who=who, device=device)

    def close(self) -> None:
        """Let go of the database."""
        self.database.close()
