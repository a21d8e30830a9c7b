"""A power cut, and what the charts say of food that stood in one of its places."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from lidclock.app.outage_places import COLD, Circumstances, PlaceOut
from lidclock.domain.history import Stay
from lidclock.guidance.outage import Decision, judge_freezer, judge_fridge
from lidclock.guidance.outage_readings import (
    SeenAt,
    judge_freezer_read,
    judge_fridge_read,
)

_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Cut:
    """A power cut, the places that it met by name, and whether it met every one."""

    said: Circumstances
    places: Mapping[str, PlaceOut]
    is_everywhere: bool

    @property
    def ended(self) -> datetime:
        """When it ended."""
        return self.said.ended

    def touches(self, stay: Stay) -> bool:
        """Whether that stay and the power cut have time in common."""
        is_past = stay.ended is not None and stay.ended <= self.said.began
        return stay.began < self.said.ended and not is_past

    def darkens(self, stay: Stay) -> bool:
        """Whether that was a fridge or freezer without power."""
        return stay.state in COLD and (self.is_everywhere or stay.place in self.places)

    def judge(self, stay: Stay, since: datetime, category: str) -> Decision:
        """What the charts say of food that left it as that stay ended.

        It stood in places without power from `since` on; what it met in an earlier one
        counts as met in this one.
        """
        began, ended = self.said.began, min(stay.ended or self.ended, self.ended)
        hours = (ended - began) / _HOUR
        since = max(since, began)
        known, is_there = self.places.get(stay.place), ended == self.ended
        if stay.state == "fridge":
            if known and known.readings:
                seen_at = _seen_at(known, since, ended)
                return judge_fridge_read(category, hours, seen_at)
            end_c = known.end_c if known else None
            # What was warm at the end says nothing of the time until it left.
            if known and not is_there and end_c is not None:
                end_c = end_c if end_c <= known.row.limit_c else None
            return judge_fridge(category, hours, end_c, (ended - since) / _HOUR)
        found = known.found if known and is_there else None
        if found is None and known and known.readings:
            own = known.limit.limit_c if known.limit else None
            seen_at = _seen_at(known, since, ended)
            return judge_freezer_read(category, hours, self.said.is_full, seen_at, own)
        return judge_freezer(category, hours, self.said.is_full, found)


def _seen_at(known: PlaceOut, since: datetime, ended: datetime) -> SeenAt:
    """What a place's readings come to in a part of the power cut."""
    from lidclock.templog.series import seconds

    readings, window = known.readings, (seconds(since), seconds(ended))
    assert readings is not None
    return lambda limit_c: readings.seen(limit_c, *window)
