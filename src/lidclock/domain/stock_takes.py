"""Stock-takes: what a place should hold beside what was seen in it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lidclock.domain.codes import is_code
from lidclock.domain.events import Event
from lidclock.domain.fold import corrected
from lidclock.domain.kitchens import Place
from lidclock.domain.snapshots import Snapshot

# Events of kind `noted` under this and the place's casefolded name.
STOCK_TAKE_SUBJECT = "plan/stock-take/"
# From what pauses a clock to what lets it run fastest; no place counts as the counter.
_WARMTH = {"freezer": 0, "fridge": 1, "hot": 2, "counter": 3, "": 3}


def stock_take_subject(name: str) -> str:
    """The subject under which stock-takes of the place called `name` are recorded."""
    return STOCK_TAKE_SUBJECT + name.casefold()


@dataclass(frozen=True, slots=True)
class Comparison:
    """What was seen beside what should be there; each container stands in one part.

    `elsewhere` are lids that belong to another place, to none, or were missing. In
    `ended` nothing should be left. `strangers` are codes this kitchen does not have,
    `unread` what is no code at all.
    """

    seen: tuple[Snapshot, ...]
    missing: tuple[Snapshot, ...]
    elsewhere: tuple[Snapshot, ...] = ()
    ended: tuple[Snapshot, ...] = ()
    strangers: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()

    @property
    def expected(self) -> tuple[Snapshot, ...]:
        """What should be there, seen or not."""
        return _sorted([*self.seen, *self.missing])

    @property
    def unknown_count(self) -> int:
        """How many things that were scanned nobody knows here."""
        return len(self.strangers) + len(self.unread)

    @property
    def unmarked(self) -> tuple[Snapshot, ...]:
        """What is in the place, but has no last day."""
        return tuple(one for one in self.expected if one.is_unmarked)


def compare(
    place: str,
    known: Iterable[Snapshot],
    scanned: Collection[str],
    unread: Iterable[str] = (),
) -> Comparison:
    """What scanning `scanned` says of `place`; order and repeats make no difference.

    `known` holds everything recorded in the place, and each scanned container that the
    kitchen has.
    """
    by_code = {one.code: one for one in known}
    read = set(scanned)
    here = [one for one in by_code.values() if one.is_live and one.place == place]
    codes = {one.code for one in here}
    others = [by_code[code] for code in (read - codes) & by_code.keys()]
    return Comparison(
        seen=_sorted(one for one in here if one.code in read),
        missing=_sorted(one for one in here if one.code not in read),
        elsewhere=_sorted(one for one in others if is_to_be_found(one)),
        ended=_sorted(one for one in others if not is_to_be_found(one)),
        strangers=tuple(sorted(read - by_code.keys())),
        unread=tuple(sorted(set(unread))),
    )


def is_to_be_found(one: Snapshot) -> bool:
    """Whether something should be in it, wherever it is."""
    return one.is_live or one.end_kind == "missing"


def _sorted(found: Iterable[Snapshot]) -> tuple[Snapshot, ...]:
    return tuple(sorted(found, key=_in_list))


def _in_list(one: Snapshot) -> tuple[str, int, int, str]:
    return (one.food.casefold(), one.batch_number or 0, one.index or 0, one.code)


def is_time_needed(one: Snapshot, where: Place) -> bool:
    """Whether it has to be said since when it is in `where`.

    Recorded as put there now it would count, up to now, as in its recorded place: fine
    where that one is at least as hard on it. What came out of a freezer or a fridge,
    or out of the heat, may have stood outside for days.
    """
    if one.state == "hot" and where.state != "hot":
        return True
    return _WARMTH[one.state] < _WARMTH[where.state]


@dataclass(frozen=True, slots=True)
class StockTaken:
    """That a place was counted: so many seen of so many, and which were missing."""

    place: str
    seen: int
    expected: int
    missing: tuple[str, ...]
    unknown: int

    def as_dict(self) -> dict[str, Any]:
        """As JSON-ready data."""
        return {
            "place": self.place,
            "seen": self.seen,
            "expected": self.expected,
            "missing": list(self.missing),
            "unknown": self.unknown,
        }


def stock_taken_from(body: Mapping[str, Any]) -> StockTaken:
    """What `as_dict` described; KeyError or ValueError where the body is malformed."""
    place, missing = body["place"], body["missing"]
    if not isinstance(place, str) or not place.strip():
        raise ValueError("a stock-take names no place")
    if not isinstance(missing, list) or not all(map(_is_code, missing)):
        raise ValueError("a stock-take's missing are codes of containers")
    counts = [body[name] for name in ("seen", "expected", "unknown")]
    if not all(type(count) is int and count >= 0 for count in counts):
        raise ValueError("a stock-take counts with whole numbers from 0 on")
    seen, expected, unknown = counts
    if len(set(missing)) != len(missing) or seen + len(missing) != expected:
        raise ValueError("a stock-take's seen and missing do not add up to expected")
    return StockTaken(place, seen, expected, tuple(missing), unknown)


def _is_code(value: object) -> bool:
    return isinstance(value, str) and is_code(value)


def last_taken(events: Iterable[Event]) -> dict[str, datetime]:
    """When each place was last counted, by casefolded name, undone ones left out."""
    last: dict[str, datetime] = {}
    for event in corrected(events):
        if event.kind == "noted" and event.subject.startswith(STOCK_TAKE_SUBJECT):
            name = event.subject.removeprefix(STOCK_TAKE_SUBJECT)
            last[name] = max(last.get(name, event.happened_at), event.happened_at)
    return last


def check_stock_takes(events: Iterable[Event]) -> None:
    """KeyError or ValueError if a stock-take among them is malformed."""
    for event in corrected(events):
        if event.kind == "noted" and event.subject.startswith(STOCK_TAKE_SUBJECT):
            taken = stock_taken_from(event.body)
            if event.subject != stock_take_subject(taken.place):
                raise ValueError(
                    f"a stock-take of {taken.place!r} stands under {event.subject!r}"
                )
