"""What every command stands at: which database, which moment, who."""

from __future__ import annotations

import os
import platform
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import click

from lidclock.app.now import now as clock
from lidclock.app.paths import database_path

if TYPE_CHECKING:
    from lidclock.app.session import Session


@dataclass(frozen=True, slots=True)
class Desk:
    """The global options."""

    now_text: str = ""
    who: str = ""
    db: str = ""

    @property
    def path(self) -> Path:
        """The database file."""
        return Path(self.db) if self.db else database_path()

    def now(self, zone: ZoneInfo) -> datetime:
        """The present instant, or the one that --now pretends."""
        present = clock()
        if not self.now_text:
            return present
        from lidclock.cli.when import read_time

        return read_time(self.now_text, zone, present)

    @contextmanager
    def session(self) -> Iterator[Session]:
        """The kitchen, open for one command."""
        from lidclock.app.session import Session

        device = os.environ.get("LIDCLOCK_DEVICE") or platform.node()
        session = Session.open(self.path, now=clock(), who=self.who, device=device)
        try:
            session.now = self.now(session.kitchen.zone)
            yield session
        finally:
            session.close()


def pass_desk(function: Callable[..., Any]) -> Callable[..., Any]:
    """Hand the global options to a command as its first argument."""
    return click.make_pass_decorator(Desk)(function)


def time_of(session: Session, text: str | None) -> datetime | None:
    """The instant a person wrote, or None if nothing was written."""
    if text is None:
        return None
    from lidclock.cli.when import read_time

    return read_time(text, session.kitchen.zone, session.now)


def coming_time_of(session: Session, text: str | None) -> datetime | None:
    """The instant still to come that a person wrote, or None."""
    if text is None:
        return None
    from lidclock.cli.when import read_coming_time

    return read_coming_time(text, session.kitchen.zone, session.now)
