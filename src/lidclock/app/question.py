"""Reads the question of a what-if: one JSON document, refused with its place."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from lidclock.app.setup import check_category
from lidclock.domain.foods import MADE_BY, PACKS, TIME_ONLY_HOURS, Food
from lidclock.domain.history import Component, History, Placing, stays_of
from lidclock.domain.kitchens import STATES
from lidclock.domain.moments import read_iso, read_iso_day, zone_of
from lidclock.errors import InputError, LidclockError
from lidclock.guidance.load import load_set, set_names
from lidclock.guidance.sets import GuidanceSet

DEEPEST = 20
DID = ("made", "opened", "placed", "cooled", "reheated", "used", "discarded", "given")
_DOCUMENT = {"guidance", "zone", "as_of", "high_risk", "readings"}
_PART = {"food", "history", "components", "maker_use_by", "name"}
_EVENT = {"at", "did", "state", "temp_c"}
_FOOD = {
    *("name", "category", "made_by", "pack", "ph", "aw", "allergens", "house_days"),
    "time_only_hours",
}


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: a food with its history, a set, a zone, a moment.

    `readings` are what its places measured, in order: instants and degrees Celsius.
    """

    subject: Component
    guidance: str
    zone: ZoneInfo
    as_of: datetime
    is_high_risk: bool = False
    readings: tuple[tuple[datetime, float], ...] = ()

    @property
    def guidance_set(self) -> GuidanceSet:
        """The set asked for, read strictly for people at higher risk."""
        guidance = load_set(self.guidance)
        return guidance.for_high_risk() if self.is_high_risk else guidance


def read_question(text: str, now: datetime) -> Question:
    """The question in the document `text`; InputError names the place and the fault."""
    document = _object("document", _parsed(text), _DOCUMENT | _PART)
    guidance = _one_of("guidance", document.get("guidance"), set_names())
    with _named("zone"):
        zone = zone_of(_text("zone", document.get("zone")))
    as_of = now
    if document.get("as_of") is not None:
        as_of = _moment("as_of", document["as_of"], zone)
    facts = {key: document[key] for key in document if key in _PART}
    is_high_risk = document.get("high_risk", False)
    if not isinstance(is_high_risk, bool):
        raise InputError("high_risk: expected true or false")
    subject = _Reader(zone, as_of).part("", facts)
    readings = _readings(document.get("readings"), zone, as_of)
    return Question(subject, guidance, zone, as_of, is_high_risk, readings)


def _readings(
    value: Any, zone: ZoneInfo, as_of: datetime
) -> tuple[tuple[datetime, float], ...]:
    """What the places measured: a list of pairs, each a time and degrees Celsius."""
    found: dict[datetime, float] = {}
    for index, pair in enumerate(_optional_list("readings", value)):
        here = f"readings[{index}]"
        if not isinstance(pair, list) or len(pair) != 2:
            raise InputError(f"{here}: expected a time and a temperature in °C")
        at, temp_c = _moment(here, pair[0], zone), _number(here, pair[1], -100, 200)
        if at > as_of:
            raise InputError(f"{here}: {pair[0]} is later than as_of")
        if temp_c is None:
            raise InputError(f"{here}: expected a temperature in °C, not null")
        if found.get(at, temp_c) != temp_c:
            raise InputError(
                f"{here}: {pair[0]} was {found[at]:g} °C already; keep one"
            )
        found[at] = temp_c
    return tuple(sorted(found.items()))


@dataclass(frozen=True, slots=True)
class _Reader:
    zone: ZoneInfo
    as_of: datetime

    def part(
        self, where: str, value: Any, made_by: datetime | None = None, depth: int = 0
    ) -> Component:
        """A food with its history: the whole document, or one of its components.

        A component cannot have been made after `made_by`, when the mixture was.
        """
        if depth > DEEPEST:
            raise InputError(f"{where}: components are nested more than {DEEPEST} deep")
        facts = _object(where or "document", value, _PART)
        dot = f"{where}." if where else ""
        happened = self._events(f"{dot}history", facts.get("history"))
        made_at, opened_at = _first(happened, "made"), _first(happened, "opened")
        if made_at is not None and made_by is not None and made_at > made_by:
            raise InputError(f"{dot}history: it was made after the mixture it is in")
        is_pack = opened_at is not None and made_at is None
        maker = "maker" if is_pack else "kitchen"
        food = _food(f"{dot}food", facts.get("food"), made_by=maker)
        parts = tuple(
            self.part(f"{dot}components[{index}]", part, made_at, depth + 1)
            for index, part in enumerate(
                _optional_list(f"{dot}components", facts.get("components"))
            )
        )
        use_by = facts.get("maker_use_by")
        day = None if use_by is None else _day(f"{dot}maker_use_by", use_by)
        name = food.name if facts.get("name") is None else facts["name"]
        history = replace(_history(happened), maker_use_by=day, components=parts)
        return Component(_text(f"{dot}name", name), food, history)

    def _events(self, where: str, value: Any) -> list[_Happened]:
        """What happened, in order; what is tied keeps the document's order."""
        happened: list[_Happened] = []
        for index, entry in enumerate(_list(where, value)):
            here = f"{where}[{index}]"
            facts = _object(here, entry, _EVENT)
            happened.append(self._event(here, facts))
        made = [event for event in happened if event.did == "made"]
        if len(made) > 1:
            raise InputError(f"{made[1].where}.did: it was made already; leave one")
        for event in happened:
            if made and event.at < made[0].at:
                raise InputError(f"{event.where}.at: that is before it was made")
        return sorted(happened, key=lambda event: event.at)

    def _event(self, here: str, facts: dict[str, Any]) -> _Happened:
        at = _moment(f"{here}.at", facts.get("at"), self.zone)
        if at > self.as_of:
            raise InputError(f"{here}.at: {facts['at']} is later than as_of")
        did = _one_of(f"{here}.did", facts.get("did"), DID)
        state = ""
        if did == "placed":
            state = _one_of(f"{here}.state", facts.get("state"), STATES)
        elif "state" in facts:
            raise InputError(f"{here}.state: only `placed` has a state")
        temp_c = _number(f"{here}.temp_c", facts.get("temp_c"), -100, 200)
        return _Happened(here, at, did, state, temp_c)


@dataclass(frozen=True, slots=True)
class _Happened:
    where: str
    at: datetime
    did: str
    state: str
    temp_c: float | None


def _first(happened: list[_Happened], *kinds: str) -> datetime | None:
    return next((event.at for event in happened if event.did in kinds), None)


def _history(happened: list[_Happened]) -> History:
    """The history that the events tell, without components and maker's date."""
    made_at, opened_at = _first(happened, "made"), _first(happened, "opened")
    ended_at = _first(happened, "used", "discarded", "given")
    placings = [
        Placing(event.at, event.state, "", event.temp_c)
        for event in happened
        if event.did == "placed"
    ]
    reheated = [event for event in happened if event.did == "reheated"]
    cooled = [event for event in happened if event.did == "cooled"]
    return History(
        made_at=made_at,
        opened_at=opened_at,
        stays=stays_of(made_at or opened_at, placings, ended_at),
        reheated_at=tuple(event.at for event in reheated),
        reheated_c=tuple(event.temp_c for event in reheated),
        coolings=tuple((event.at, event.temp_c) for event in cooled),
        ended_at=ended_at,
    )


def _parsed(text: str) -> Any:
    try:
        return json.loads(text, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        raise InputError(f"not a JSON document: {error}") from error


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """A JSON object in which each key stands once."""
    found = dict(pairs)
    if len(found) != len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise ValueError(f"the key {twice!r} stands twice in one object")
    return found


def _object(where: str, value: Any, known: set[str]) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise InputError(f"{where}: expected an object, not {_kind(value)}")
    stray = sorted(value.keys() - known)
    if stray:
        raise InputError(
            f"{where}: unknown key {stray[0]!r}; known are {', '.join(sorted(known))}"
        )
    return value


def _optional_list(where: str, value: Any) -> list[Any]:
    """A list; only null and nothing at all mean that there is none."""
    return [] if value is None else _list(where, value)


def _list(where: str, value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise InputError(f"{where}: expected a list, not {_kind(value)}")
    return value


def _text(where: str, value: Any) -> str:
    if not isinstance(value, str) or not value:
        raise InputError(f"{where}: expected text, not {_kind(value)}")
    return value


def _one_of(where: str, value: Any, known: tuple[str, ...]) -> str:
    text = _text(where, value)
    if text not in known:
        raise InputError(f"{where}: {text!r} is not one of {', '.join(known)}")
    return text


def _number(where: str, value: Any, low: float, high: float) -> float | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise InputError(f"{where}: expected a number, not {_kind(value)}")
    if not low <= value <= high:
        raise InputError(f"{where}: {value} lies outside {low:g} to {high:g}")
    return float(value)


def _moment(where: str, value: Any, zone: ZoneInfo) -> datetime:
    with _named(where):
        return read_iso(_text(where, value), zone)


def _day(where: str, value: Any) -> date:
    with _named(where):
        return read_iso_day(_text(where, value))


@contextmanager
def _named(where: str) -> Iterator[None]:
    """Put the place in the document before an error that does not say it yet."""
    try:
        yield
    except LidclockError as error:
        message = str(error)
        if message.startswith(f"{where}: "):
            raise
        raise InputError(f"{where}: {message}") from error


def _food(where: str, value: Any, *, made_by: str) -> Food:
    """The food; `made_by` is who made it where the document does not say."""
    facts = _object(where, value, _FOOD)
    category = _text(f"{where}.category", facts.get("category"))
    with _named(f"{where}.category"):
        check_category(category)
    allergens = facts.get("allergens")
    house_days = facts.get("house_days")
    if house_days is not None and (
        isinstance(house_days, bool) or not isinstance(house_days, int)
    ):
        raise InputError(f"{where}.house_days: expected a whole number of days")
    _number(f"{where}.house_days", house_days, 1, 366)
    return Food(
        name=_text(f"{where}.name", facts.get("name", category)),
        category=category,
        allergens=None
        if allergens is None
        else tuple(
            _text(f"{where}.allergens", one)
            for one in _list(f"{where}.allergens", allergens)
        ),
        made_by=_one_of(f"{where}.made_by", facts.get("made_by", made_by), MADE_BY),
        pack=_one_of(f"{where}.pack", facts.get("pack", "air"), PACKS),
        ph=_number(f"{where}.ph", facts.get("ph"), 0, 14),
        aw=_number(f"{where}.aw", facts.get("aw"), 0, 1),
        house_days=house_days,
        time_only_hours=_time_only(where, facts.get("time_only_hours")),
    )


def _time_only(where: str, value: Any) -> int | None:
    if value is None:
        return None
    if isinstance(value, bool) or value not in TIME_ONLY_HOURS:
        expected = ", ".join(str(hours) for hours in TIME_ONLY_HOURS)
        raise InputError(f"{where}.time_only_hours: expected {expected}, not {value!r}")
    return int(value)


def _kind(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "an object"
    return "a list" if isinstance(value, list) else repr(value)
