"""What devices send at once: portions of it, one transaction each, and results."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from lidclock.app.device_events import UNDONE
from lidclock.domain.moments import say_span
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError

RECORDED, KNOWN, REFUSED = "recorded", "known", "refused"
# So many events are one transaction: enough to share its cost, few enough that others
# get their turn.
CHUNK = 250
MOST_EVENTS = 10_000
# A device whose clock is off by more than this is told.
MUCH_OFF = timedelta(minutes=2)


@dataclass(frozen=True, slots=True)
class Result:
    """What became of one event; `contradiction` where it and another cannot both be."""

    id: str
    result: str
    says: str
    contradiction: bool = False

    def as_dict(self) -> dict[str, Any]:
        """As JSON-ready data."""
        return {
            "id": self.id,
            "result": self.result,
            "says": self.says,
            "contradiction": self.contradiction,
        }


@dataclass(frozen=True, slots=True)
class Parcel:
    """What one device sent at once, and who had it in hand."""

    events: Sequence[Any]
    who: str = ""
    device: str = ""


@dataclass(frozen=True, slots=True)
class Received:
    """The results in the order sent; `clock_off` is how far the device is ahead."""

    results: tuple[Result, ...]
    clock_off: timedelta
    remark: str = ""


def portions(parcel: Parcel) -> Iterator[tuple[list[int], Parcel]]:
    """What is recorded in one transaction each, with the numbers of its events.

    What takes back comes last, whatever order it was sent in.
    """
    events = parcel.events
    order = sorted(range(len(events)), key=lambda number: is_undo(events[number]))
    for start in range(0, len(order), CHUNK):
        numbers = order[start : start + CHUNK]
        some = [events[number] for number in numbers]
        yield numbers, Parcel(some, parcel.who, parcel.device)


def rejoined(results: Iterable[tuple[list[int], list[Result]]]) -> list[Result]:
    """The results of portions, in the order in which their events were sent."""
    pairs = [
        pair for numbers, some in results for pair in zip(numbers, some, strict=True)
    ]
    return [result for _, result in sorted(pairs, key=lambda pair: pair[0])]


def check_count(events: Sequence[Any]) -> None:
    """InputError for more events than are taken at once."""
    if len(events) > MOST_EVENTS:
        raise InputError(f"send at most {MOST_EVENTS} events at once")


def clock_remark(off: timedelta) -> str:
    """What to tell about a clock that is far off; nothing where it is near enough."""
    if abs(off) <= MUCH_OFF:
        return ""
    span = say_span(abs(off))
    if off > timedelta(0):
        return sentence(
            "this device's clock is {span} ahead of the kitchen's: set it", span=span
        )
    return sentence(
        "this device's clock is {span} behind the kitchen's: set it", span=span
    )


def is_undo(facts: Any) -> bool:
    """Whether it takes back what was told before."""
    return isinstance(facts, dict) and facts.get("kind") == UNDONE
