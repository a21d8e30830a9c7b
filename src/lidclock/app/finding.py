"""Containers whose lid cannot be read, and foods by the number on their pack.

Two that fit are never guessed between, and what nobody recorded rules nothing out.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import islice

from lidclock.app.lists import Listed, listed
from lidclock.app.pack_words import pack_words
from lidclock.app.scanning import read_symbol
from lidclock.app.session import Session, Unit
from lidclock.domain.codes import ALPHABET, spaced
from lidclock.domain.moments import say_day
from lidclock.domain.snapshots import Snapshot
from lidclock.errors import InputError, UnknownThingError
from lidclock.scan.gs1 import Pack
from lidclock.scan.partial import GAP, completions, differences, gaps, read_pattern
from lidclock.scan.payload import CodeRead

# Kitchen scales and a wet lid make this much of a difference.
MASS_SPAN_G = 10.0
_NEAREST = 5
_FAR_G = 100.0
_LEAST_MISS = 0.1
# Up to so many unread symbols, the codes that fit are looked up one by one.
_FEW_GAPS = 2
_MOST_NAMED = 3
_PACKS_AT_ONCE = 200


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is known of a container; `pattern` has `?` for each unread symbol."""

    pattern: str = ""
    words: tuple[str, ...] = ()
    food: str = ""
    batch: int | None = None
    mass_g: float | None = None
    place: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """Every container that fits; if none does, the nearest and the codes possible."""

    fitting: tuple[Listed, ...]
    nearest: tuple[Listed, ...] = ()
    possible: tuple[str, ...] = ()


def wanted(
    session: Session,
    words: tuple[str, ...],
    *,
    food: str | None = None,
    batch: int | None = None,
    mass_g: float | None = None,
    place: str | None = None,
) -> Wanted:
    """What was typed as conditions; names are those of this kitchen.

    `words` is part of a code, or words out of the food's name.
    """
    words = tuple(" ".join(words).split())
    if not words and (food, batch, mass_g, place) == (None, None, None, None):
        raise InputError(
            "say what is known of it: part of its code with ? for the rest, words of "
            "its name, --food, --batch, --mass or --place"
        )
    pattern = read_pattern("".join(words)) or ""
    if GAP in "".join(words) and not pattern:
        raise InputError(
            f"{' '.join(words)!r} is no part of a code: write seven symbols, {GAP} for "
            f"each that cannot be read; the others are of {ALPHABET}"
        )
    with session.read() as unit:
        name = unit.need_food(food).name if food else ""
    return Wanted(
        pattern,
        () if pattern else tuple(word.casefold() for word in words),
        name,
        batch,
        mass_g,
        session.place(place).name if place else "",
    )


def find(session: Session, what: Wanted) -> Found:
    """The containers that meet every condition, or else the nearest to them."""
    with session.read() as unit:
        fitting = [one for one in _candidates(unit, what) if _fits(what, one)]
        if fitting:
            return Found(_listed(session, fitting))
        near = _nearest(unit, what)
    possible: tuple[str, ...] = ()
    if what.pattern and gaps(what.pattern) <= _FEW_GAPS:
        possible = tuple(islice(completions(what.pattern), _MOST_NAMED + 1))
    named = possible if len(possible) <= _MOST_NAMED else ()
    return Found((), _listed(session, near), named)


def _candidates(unit: Unit, what: Wanted) -> Iterator[Snapshot]:
    """Everything that may fit; an ended one only where its code was part-read."""
    snapshots = unit.snapshots
    if what.pattern and gaps(what.pattern) <= _FEW_GAPS:
        looked_up = map(snapshots.get, completions(what.pattern))
        yield from (one for one in looked_up if one is not None)
        return
    found = snapshots.find(
        food=what.food or None, batch=what.batch, live=not what.pattern
    )
    missing = [] if what.pattern else snapshots.missing()
    yield from {one.code: one for one in [*found, *missing]}.values()


def _fits(what: Wanted, one: Snapshot) -> bool:
    return not any(_misses(what, one))


def _nearest(unit: Unit, what: Wanted) -> list[Snapshot]:
    """The few that miss by least; one that shares nothing is not near."""
    known = [*unit.snapshots.find(), *unit.snapshots.missing()]
    measured = {one.code: (_misses(what, one), one) for one in known}
    near = [
        (sum(misses), code, one)
        for code, (misses, one) in measured.items()
        if min(misses, default=1.0) < 1
    ]
    return [one for _, _, one in sorted(near, key=lambda x: x[:2])[:_NEAREST]]


def _misses(what: Wanted, one: Snapshot) -> list[float]:
    """How far it is off, condition by condition, from 0 (fits) to 1 (not at all).

    Where nobody weighed it, or recorded where it is, it may be the one.
    """
    misses = []
    if what.pattern:
        misses.append(min(1.0, differences(what.pattern, one.code) / 2))
    if what.food:
        misses.append(float(one.food.casefold() != what.food.casefold()))
    if what.batch is not None:
        misses.append(float(one.batch_number != what.batch))
    if what.words:
        misses.append(_unlike(what.words, one.food))
    if what.mass_g is not None and one.mass_g is not None:
        off_g = abs(one.mass_g - what.mass_g)
        misses.append(min(1.0, off_g / _FAR_G) if off_g > MASS_SPAN_G else 0.0)
    if what.place:
        misses.append(float(one.place not in ("", what.place)))
    return misses


def _unlike(words: tuple[str, ...], food: str) -> float:
    """0 if the name holds every word; else by how many resemble none of its words."""
    name = food.casefold()
    if all(word in name for word in words):
        return 0.0
    parts = name.split()
    close = [w for w in words if difflib.get_close_matches(w, parts, n=1, cutoff=0.6)]
    return max(_LEAST_MISS, 1.0 - len(close) / len(words))


def _listed(session: Session, found: list[Snapshot]) -> tuple[Listed, ...]:
    found = sorted(found, key=lambda one: (one.batch_number or 0, one.index or 0))
    return tuple(listed(session, one) for one in found)


@dataclass(frozen=True, slots=True)
class MakersFacts:
    """What a maker's symbol gives an opened pack, and how to say it.

    Without `gtin` the number is one of a single shop, which names no food.
    """

    gtin: str
    use_by: date | None
    lot: str
    words: str


def makers_facts(
    session: Session, symbol: str, *, use_by: date | None = None, lot: str = ""
) -> MakersFacts:
    """The facts in the symbol, with what was typed beside it.

    A typed date may be earlier than the maker's, never later; two lots are refused.
    """
    read = read_symbol(session, symbol)
    if isinstance(read, CodeRead):
        raise InputError(
            f"{spaced(read.code)} is on a lid of this kitchen, not on a maker's pack; "
            f"its lid is opened with `lidclock scan {read.code} --open`"
        )
    if not isinstance(read, Pack):
        raise InputError(f"{symbol.strip()!r} is no maker's symbol: it holds no GTIN")
    if use_by and read.use_by and use_by > read.use_by:
        raise InputError(
            f"the pack says use by {say_day(read.use_by)}; {say_day(use_by)} is later: "
            "leave --use-by out"
        )
    if lot and read.lot and lot != read.lot:
        raise InputError(f"the pack says lot {read.lot}, not {lot}: leave --lot out")
    dates = [day for day in (use_by, read.use_by) if day]
    return MakersFacts(
        "" if read.is_local else read.gtin,
        min(dates, default=None),
        read.lot or lot,
        pack_words(read),
    )


def food_of_pack(session: Session, facts: MakersFacts) -> str:
    """The food that a pack with this number was opened as; UnknownThingError if none.

    A number of a single shop is never remembered: others use it for other foods.
    """
    with session.read() as unit:
        known = _last_opened_as(unit, facts.gtin) if facts.gtin else None
    if known is None:
        why = "was opened here before" if facts.gtin else "is known by a shop's number"
        raise UnknownThingError(
            f"no pack with {facts.words} {why}; name its food, for example "
            '`lidclock open "tomato paste" --category C --symbol ...`'
        )
    return known


def _last_opened_as(unit: Unit, gtin: str) -> str | None:
    """From the latest pack back, a few hundred at a time, until the number is met."""
    bought = [food.name for food in unit.snapshots.foods() if food.made_by == "maker"]
    packs = {
        one.code: one
        for name in bought
        for one in unit.snapshots.find(food=name, live=False)
        if one.opened_at is not None
    }
    latest = sorted(packs.values(), key=_opened, reverse=True)
    for start in range(0, len(latest), _PACKS_AT_ONCE):
        codes = [one.code for one in latest[start : start + _PACKS_AT_ONCE]]
        numbers = {
            event.subject: event.body.get("gtin")
            for event in unit.ledger.of(codes)
            if event.kind == "filled"
        }
        for code in codes:
            if numbers.get(code) == gtin:
                return packs[code].food
    return None


def _opened(one: Snapshot) -> tuple[float, str]:
    return (one.opened_at.timestamp() if one.opened_at else 0.0, one.code)
