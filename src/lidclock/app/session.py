"""A person at one kitchen at one moment: what every action needs."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import Self

from lidclock.app.charging import silent_places
from lidclock.app.unit import CHECK_SYMBOLS, Fact, Unit, View, food_fact
from lidclock.domain.kitchens import Kitchen, Place
from lidclock.domain.moments import say_moment
from lidclock.domain.phrases import STATES
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, UnknownThingError
from lidclock.guidance.sets import GuidanceSet
from lidclock.store import Database, Kitchens

# What is recorded and seen within a session, for those who do it.
__all__ = ["CHECK_SYMBOLS", "Fact", "Session", "Unit", "View", "food_fact"]

_TIMES = {
    "time": sentence("time"),
    "making time": sentence("making time"),
    "opening time": sentence("opening time"),
    "time of placing": sentence("time of placing"),
}


class Session:
    """One kitchen, one moment, one person: what every action needs."""

    def __init__(
        self,
        database: Database,
        kitchen: Kitchen,
        places: list[Place],
        *,
        now: datetime,
        who: str = "",
        device: str = "",
    ) -> None:
        self.database = database
        self.kitchen = kitchen
        self.places = places
        self.now = now
        self.who = who
        self.device = device

    @classmethod
    def open(
        cls, path: str | Path, *, now: datetime, who: str = "", device: str = ""
    ) -> Self:
        """The kitchen in the database at `path`; StoreError if there is none."""
        database = Database.open(path)
        try:
            with database.read() as connection:
                kitchens = Kitchens(connection)
                kitchen = kitchens.get()
                places = kitchens.places(kitchen.id)
        except BaseException:
            database.close()
            raise
        return cls(database, kitchen, places, now=now, who=who, device=device)

    @cached_property
    def guidance(self) -> GuidanceSet:
        """The guidance set in force in this kitchen."""
        from lidclock.app.guidance import guidance_of

        return guidance_of(self.kitchen)

    @cached_property
    def silent(self) -> frozenset[str]:
        """Places, casefolded, that nobody reads any more though this kitchen wants it.

        Empty where it accepts places without readings.
        """
        return frozenset() if self.kitchen.accepts_unmeasured else silent_places(self)

    def adopt_kitchen(self, kitchen: Kitchen) -> None:
        """Go on with the kitchen's changed choices."""
        self.kitchen = kitchen
        self.__dict__.pop("guidance", None)

    @contextmanager
    def write(self) -> Iterator[Unit]:
        """A unit of work: all of it is recorded, or none."""
        with self.database.begin() as connection:
            unit = Unit(self, connection)
            yield unit
            unit.charging.settle()

    @contextmanager
    def read(self) -> Iterator[Unit]:
        """A consistent look that records nothing."""
        with self.database.read() as connection:
            yield Unit(self, connection)

    def place(self, name: str) -> Place:
        """The place called `name`, or bearing that number; the error names them all.

        Action symbols hold the number, since a name may be too long for bars; a printed
        one means the same place when places are put in another order.
        """
        wanted = name.strip().casefold()
        for place in self.places:
            if wanted in (place.name.casefold(), str(place.number)):
                return place
        known = ", ".join(place.name for place in self.places)
        fact = sentence(
            "no place {name} in this kitchen; there are {places}",
            name=repr(name),
            places=known,
        )
        raise UnknownThingError(f"{fact} (add one with `lidclock place add`)", fact)

    def place_in_state(self, state: str) -> Place:
        """The first place that is a fridge, freezer or counter."""
        for place in self.places:
            if place.state == state:
                return place
        fact = sentence("this kitchen has no {state}", state=STATES.get(state, state))
        raise UnknownThingError(f"{fact}; add one with `lidclock place add`", fact)

    def checked_past(self, at: datetime | None, what: str) -> datetime:
        """`at`, or now; an InputError if it lies in the future."""
        if at is None:
            return self.now
        if at > self.now:
            when = say_moment(at, self.kitchen.zone)
            raise InputError(
                sentence(
                    "{what} {when} is in the future; give a time up to now",
                    what=_TIMES.get(what, what),
                    when=when,
                )
            )
        return at

    def close(self) -> None:
        """Let go of the database."""
        self.database.close()
