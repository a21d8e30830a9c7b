"""What-if without a kitchen: one JSON document in, one verdict out."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from lidclock.app.setup import check_category
from lidclock.clock import Limit, Verdict, judge
from lidclock.domain.foods import MADE_BY, PACKS, Food
from lidclock.domain.history import Component, History, Placing, stays_of
from lidclock.domain.kitchens import STATES
from lidclock.domain.moments import read_iso, read_iso_day, zone_of
from lidclock.errors import InputError, LidclockError
from lidclock.guidance.load import load_set, set_names

DEEPEST = 20
DID = ("made", "opened", "placed", "cooled", "reheated", "used", "discarded", "given")
_DOCUMENT = {"guidance", "zone", "as_of"}
_PART = {"food", "history", "components", "maker_use_by", "name"}
_FOOD = {
    *("name", "category", "made_by", "pack", "ph", "aw", "allergens"),
    *("portion_g", "handling", "house_days"),
}


def assess(text: str, now: datetime) -> dict[str, Any]:
    """The verdict on the document `text`, as JSON-ready data.

    InputError names the place in the document and what is wrong there.
    """
    document = _object("document", _parsed(text), _DOCUMENT | _PART)
    guidance = _one_of("guidance", document.get("guidance"), set_names())
    with _named("zone"):
        zone = zone_of(_text("zone", document.get("zone")))
    as_of = now
    if document.get("as_of") is not None:
        as_of = _moment("as_of", document["as_of"], zone)
    part = _Reader(zone, as_of).part(
        "", {k: document[k] for k in document if k in _PART}
    )
    verdict = judge(part.food, part.history, load_set(guidance), zone=zone, now=as_of)
    return verdict_json(verdict)


@dataclass(frozen=True, slots=True)
class _Reader:
    zone: ZoneInfo
    as_of: datetime

    def part(self, where: str, value: Any, depth: int = 0) -> Component:
        """A food with its history: the whole document, or one of its components."""
        if depth > DEEPEST:
            raise InputError(f"{where}: components are nested more than {DEEPEST} deep")
        facts = _object(where or "document", value, _PART)
        dot = f"{where}." if where else ""
        food = _food(f"{dot}food", facts.get("food"))
        history = self._history(dot, facts, depth)
        name = facts.get("name") or food.name or food.category
        return Component(_text(f"{dot}name", name), food, history)

    def _history(self, dot: str, facts: dict[str, Any], depth: int) -> History:
        happened = self._events(f"{dot}history", facts.get("history"))
        parts = _list(f"{dot}components", facts.get("components") or [])
        use_by = facts.get("maker_use_by")
        made_at = happened.first("made")
        opened_at = happened.first("opened")
        ends = [happened.first(kind) for kind in ("used", "discarded", "given")]
        ended_at = min((at for at in ends if at is not None), default=None)
        return History(
            made_at=made_at,
            opened_at=opened_at,
            stays=stays_of(made_at or opened_at, happened.placings, ended_at),
            reheated_at=tuple(happened.at["reheated"]),
            cooled_at=happened.first("cooled"),
            ended_at=ended_at,
            maker_use_by=_day(f"{dot}maker_use_by", use_by) if use_by else None,
            components=tuple(
                self.part(f"{dot}components[{index}]", part, depth + 1)
                for index, part in enumerate(parts)
            ),
        )

    def _events(self, where: str, value: Any) -> _Happened:
        happened = _Happened({did: [] for did in DID}, [])
        for index, entry in enumerate(_list(where, value)):
            here = f"{where}[{index}]"
            facts = _object(here, entry, {"at", "did", "state", "temp_c", "place"})
            at = _moment(f"{here}.at", facts.get("at"), self.zone)
            if at > self.as_of:
                raise InputError(f"{here}.at: {facts['at']} is later than as_of")
            did = _one_of(f"{here}.did", facts.get("did"), DID)
            happened.at[did].append(at)
            if did == "made" and len(happened.at[did]) > 1:
                raise InputError(f"{here}.did: it was made already; leave one of them")
            if did == "placed":
                state = _one_of(f"{here}.state", facts.get("state"), STATES)
                temp_c = _number(f"{here}.temp_c", facts.get("temp_c"), -100, 200)
                happened.placings.append(Placing(at, state, "", temp_c))
            elif "state" in facts:
                raise InputError(f"{here}.state: only `placed` has a state")
        return happened.sorted()


@dataclass(frozen=True, slots=True)
class _Happened:
    at: dict[str, list[datetime]]
    placings: list[Placing]

    def sorted(self) -> _Happened:
        """In the order in which it happened; what is tied keeps the document's."""
        return _Happened(
            {did: sorted(moments) for did, moments in self.at.items()},
            sorted(self.placings, key=lambda placing: placing.at),
        )

    def first(self, did: str) -> datetime | None:
        return self.at[did][0] if self.at[did] else None


def verdict_json(verdict: Verdict) -> dict[str, Any]:
    """A verdict as JSON-ready data; instants carry the kitchen's offset."""
    zone = verdict.zone
    binding = verdict.binding
    return {
        "status": verdict.status,
        "last_day": _iso(verdict.last_day),
        "last_moment": _local(verdict.last_moment, zone),
        "plan_by": _iso(verdict.plan_by),
        "best_by": _iso(verdict.best_by),
        "days_left": verdict.days_left,
        "house_rule": verdict.is_house_rule,
        "binding": binding.id if binding else None,
        "limits": [limit_json(limit, zone) for limit in verdict.limits],
        "next": list(verdict.next),
        "cautions": list(verdict.cautions),
        "unknown": list(verdict.unknown),
    }


def limit_json(limit: Limit, zone: ZoneInfo) -> dict[str, Any]:
    """One limit with its source and its arithmetic."""
    source = limit.rule.source
    return {
        "id": limit.id,
        "kind": limit.rule.kind,
        "says": limit.rule.says,
        "last_moment": _local(limit.last_moment, zone),
        "days_left": limit.days_left,
        "via": limit.via or None,
        "authority": source.authority,
        "document": source.document,
        "section": limit.rule.section,
        "year": source.year,
        "url": source.url,
        "verified": source.verified,
        "why": limit.why,
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _local(instant: datetime | None, zone: ZoneInfo) -> str | None:
    return instant.astimezone(zone).isoformat() if instant else None


def _parsed(text: str) -> Any:
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputError(f"not a JSON document: {error}") from error


def _object(where: str, value: Any, known: set[str]) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise InputError(f"{where}: expected an object, not {_kind(value)}")
    stray = sorted(value.keys() - known)
    if stray:
        raise InputError(
            f"{where}: unknown key {stray[0]!r}; known are {', '.join(sorted(known))}"
        )
    return value


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


def _food(where: str, value: Any) -> Food:
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
        name=facts.get("name") or category,
        category=category,
        allergens=None
        if allergens is None
        else tuple(
            _text(f"{where}.allergens", one)
            for one in _list(f"{where}.allergens", allergens)
        ),
        made_by=_one_of(f"{where}.made_by", facts.get("made_by", "kitchen"), MADE_BY),
        pack=_one_of(f"{where}.pack", facts.get("pack", "air"), PACKS),
        ph=_number(f"{where}.ph", facts.get("ph"), 0, 14),
        aw=_number(f"{where}.aw", facts.get("aw"), 0, 1),
        house_days=house_days,
    )


def _kind(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "an object"
    return "a list" if isinstance(value, list) else repr(value)
