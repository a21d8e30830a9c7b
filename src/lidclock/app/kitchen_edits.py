"""A kitchen's own settings, changed in a form that two people may have open at once.

What the form showed comes back with it. Where the kitchen is not like that any more,
nothing is saved and the difference is told; compared and saved in one transaction.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from datetime import time
from typing import Any

from lidclock.app.choices import set_choices
from lidclock.app.food_names import clean_name
from lidclock.app.planning import choices_of
from lidclock.app.session import Session, Unit
from lidclock.domain.kitchens import Kitchen, Place
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import EditClashError, InputError
from lidclock.store import Kitchens

CHOICES = (
    *("card_hours", "most_shown", "money", "worth", "freezing", "short", "service"),
    *("cover_days", "use_up_at"),
)
_NUMBERS = ("worth", "freezing", "short", "service")
_COUNTS = ("most_shown", "cover_days")
_MOST_LEAD_H = 24 * 14
_MOST_FIGURES = 6


def settings_of(session: Session) -> dict[str, str]:
    """What the form shows, as text by field."""
    with session.read() as unit:
        return _settings(unit)


def places_shown(session: Session) -> str:
    """The places as they are shown, to be compared later."""
    return _as_text([[one.name, one.state] for one in session.places])


def _settings(unit: Unit) -> dict[str, str]:
    kitchen = unit.session.kitchen
    chosen = choices_of(unit).as_dict()
    found = {"name": kitchen.name, "lead_h": str(kitchen.lead_h)}
    return found | {name: _text(chosen[name]) for name in CHOICES}


def change_settings(
    session: Session, wanted: Mapping[str, str], was: Mapping[str, str]
) -> None:
    """Save what was typed; EditClashError if it is not as it was shown any more.

    Fields that say what they said before are left alone.
    """
    with session.write() as unit:
        # Inside the transaction: another one may have saved since the request came.
        session.adopt_kitchen(Kitchens(unit.connection).get(session.kitchen.id))
        now = _settings(unit)
        _refuse_clash({name: was.get(name, "") for name in now}, now)
        changed = {
            name: text
            for name, text in wanted.items()
            if name in now and text != now[name]
        }
        _save_kitchen(unit, changed)
        told = {
            name: _value(name, changed[name]) for name in CHOICES if name in changed
        }
        reset = [name for name, value in told.items() if value is None]
        kept = {name: value for name, value in told.items() if value is not None}
        if kept or reset:
            set_choices(unit, kept, reset)


def _save_kitchen(unit: Unit, changed: Mapping[str, str]) -> None:
    kitchen = unit.session.kitchen
    if "name" in changed:
        kitchen = replace(kitchen, name=clean_name(changed["name"]))
    if "lead_h" in changed:
        kitchen = replace(kitchen, lead_h=_lead(changed["lead_h"]))
    if kitchen != unit.session.kitchen:
        Kitchens(unit.connection).update(kitchen)
        unit.session.adopt_kitchen(kitchen)


def order_places(session: Session, names: list[str], shown: str) -> None:
    """Put the places in another order: the first fridge or freezer is the usual one."""
    with session.write() as unit:
        kitchens, kitchen = Kitchens(unit.connection), session.kitchen
        _refuse_other_places(kitchens, kitchen, shown)
        kitchens.order_places(kitchen.id, names)


def add_place(session: Session, name: str, state: str, shown: str) -> Place:
    """Add a place; RefusedError if there is one of that name."""
    if state not in ("fridge", "freezer", "counter", "hot"):
        raise InputError(
            sentence("say what the place is: fridge, freezer, counter or hot")
        )
    place = Place(clean_name(name), state)
    with session.write() as unit:
        kitchens, kitchen = Kitchens(unit.connection), session.kitchen
        _refuse_other_places(kitchens, kitchen, shown)
        kitchens.add_place(kitchen.id, place)
    return place


def _refuse_other_places(kitchens: Kitchens, kitchen: Kitchen, shown: str) -> None:
    there = [[one.name, one.state] for one in kitchens.places(kitchen.id)]
    if shown != _as_text(there):
        names = ", ".join(name for name, _ in there)
        raise EditClashError((("places", _names(shown), names),))


def _names(shown: str) -> str:
    try:
        return ", ".join(str(name) for name, _ in json.loads(shown))
    except (ValueError, TypeError):
        return "not known"


def _refuse_clash(was: Mapping[str, str], now: Mapping[str, str]) -> None:
    changed = [(name, was[name], now[name]) for name in now if was[name] != now[name]]
    if changed:
        raise EditClashError(tuple(changed))


def _as_text(data: Any) -> str:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"))


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


def _value(name: str, text: str) -> Any:
    """A choice as JSON-ready data; None to have it as it comes."""
    bare = text.strip()
    if name == "card_hours":
        return [_hour(one) for one in bare.split(",") if one.strip()] or None
    if not bare:
        return "" if name == "money" else None
    if name == "use_up_at":
        return _hour(bare)
    try:
        if name in _NUMBERS:
            return float(bare.replace(",", "."))
        return int(bare) if name in _COUNTS else bare
    except ValueError as error:
        raise InputError(sentence("{text} is not a number", text=repr(text))) from error


def _lead(text: str) -> int:
    bare = text.strip()
    is_number = bare.isascii() and bare.isdecimal() and len(bare) <= _MOST_FIGURES
    if not (is_number and 1 <= int(bare) <= _MOST_LEAD_H):
        raise InputError(
            sentence(
                "hours ahead lie from 1 to {most}, not {text}",
                most=figure(_MOST_LEAD_H),
                text=repr(text),
            )
        )
    return int(bare)


def _hour(text: str) -> str:
    try:
        return time.fromisoformat(text.strip()).isoformat("minutes")
    except ValueError as error:
        raise InputError(
            sentence("{text} is not an hour such as 07:30", text=repr(text.strip()))
        ) from error
