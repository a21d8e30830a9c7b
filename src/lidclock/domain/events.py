"""Events: immutable facts, appended once and never changed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

KINDS = (
    ("made", "filled", "labelled", "placed", "opened", "taken", "cooled", "reheated")
    + ("split", "combined", "used", "discarded", "given", "missing", "found")
    + ("measured", "corrected", "noted")
)
FOOD_SUBJECT = "food/"
PLACE_SUBJECT = "place/"
PLACE_NOTE_SUBJECT = "place-note/"


@dataclass(frozen=True, slots=True)
class Event:
    """One fact: what happened to `subject`, when, and when it was recorded.

    `subject` is a container's code, a batch's id, or `food/NAME`. `id` is a UUIDv7
    made where the event happened, so the same event can arrive twice. Events that
    one act of a person caused share `act`, so that one undo takes them all back.
    """

    id: str
    kind: str
    subject: str
    happened_at: datetime
    recorded_at: datetime
    zone: str
    who: str = ""
    device: str = ""
    act: str = ""
    body: Mapping[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"unknown kind of event {self.kind!r}")
        if self.happened_at.tzinfo is None or self.recorded_at.tzinfo is None:
            raise ValueError(f"event {self.id}: times need a time zone")


def in_order(events: Iterable[Event]) -> list[Event]:
    """Events as they happened; ties by id, so every device agrees."""
    return sorted(events, key=lambda event: (event.happened_at, event.id))


def place_subject(name: str) -> str:
    """The subject that links containers to the place called `name`, and to what it did.

    Readings are no events: nothing is recorded under it.
    """
    return PLACE_SUBJECT + name.casefold()


def place_note_subject(name: str) -> str:
    """The subject of what people say of a place; no container hangs on it."""
    return PLACE_NOTE_SUBJECT + name.casefold()


def food_subject(name: str) -> str:
    """The subject under which facts about the food called `name` are recorded."""
    return FOOD_SUBJECT + name.casefold()
