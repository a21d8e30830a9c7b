"""Eight weeks of an invented kitchen that cooks, eats, and throws some away."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from lidclock.app import moves, prep, setup
from lidclock.app.prep import Order
from lidclock.app.session import Session
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.moments import DAY, from_local, zone_of

_ZONE = zone_of("America/New_York")
_BEGAN = from_local(datetime.fromisoformat("2026-09-07T17:00"), _ZONE)
_WEEKS = 8
_FOODS = (
    (Food("bean stew", "soup-stew", (), portion_g=350.0), 6),
    (Food("braised filling", "cooked-vegetables", ("soy",), portion_g=240.0), 4),
    (Food("chicken and rice", "cooked-poultry-dish", (), portion_g=380.0), 4),
)
_DONE = {
    "u": "use", "f": "freeze", "d": "", "t": "too much", "m": "mystery",
    "c": "cold: the door stood open", "x": "dropped", "s": "smells of onion",
}  # fmt: skip
# What is done with each box of a week's batches, in the order of the boxes: after how
# many days, and what.
_WEEK_BY_WEEK = (
    ("1u 2u 2u 3u 5d 5d", "1u 2u 3u 5d", "1u 2u 3u 3m"),
    ("1u 1u 2u 3u 1f 5d", "1u 2u 3u 3u", "1u 2u 3u 5d"),
    ("1u 2u 3u 3t 3t 5d", "1u 2u 2u 5d", "1u 2u 5d 5d"),
    ("1u 1u 2u 2u 3u 3u", "1u 2u 3u 1f", "1u 1u 2u 3u"),
    ("1u 2c 2c 2c 2c 2c", "1u 2c 2c 2c", "1u 2c 2c 2c"),
    ("1u 2u 2u 3u 1f 1f", "1u 2u 3u 2x", "1u 2u 3u 3u"),
    ("1u 1u 2u 2u 3u 5d", "1u 2u 3u 3u", "1u 2u 1f 1f"),
    ("1u 2u 2u 3u 1f 1f", "1u 2u 3u 3u", "1u 2u 3u 3s"),
)


def make_kitchen(path: Path) -> Session:
    """The kitchen in a new database, its clock at the end of the eight weeks."""
    setup.init_kitchen(path, Kitchen("", "Corner kitchen", _ZONE.key))
    end = _BEGAN + _WEEKS * 7 * DAY - timedelta(days=1)
    acts: list[tuple[datetime, str, str]] = []
    session = Session.open(path, now=_BEGAN)
    for number, foods in enumerate(_WEEK_BY_WEEK):
        session.now = _BEGAN + number * 7 * DAY
        for (food, count), fates in zip(_FOODS, foods, strict=True):
            with session.write() as unit:
                where = session.place("Fridge")
                order = Order(food, count, place=where, placed_at=session.now)
                codes = prep.prep(unit, order).codes
            acts += [
                _act(session.now, code, fate)
                for code, fate in zip(codes, fates.split(), strict=True)
            ]
    for at, code, fate in sorted(acts):
        session.now = at
        _do(session, code, fate)
    session.now = end
    return session


def _act(made_at: datetime, code: str, fate: str) -> tuple[datetime, str, str]:
    at = made_at + int(fate[0]) * DAY - timedelta(hours=4)
    return at, code, _DONE[fate[1]]


def _do(session: Session, code: str, what: str) -> None:
    with session.write() as unit:
        if what == "use":
            moves.use(unit, code, anyway=True)
        elif what == "freeze":
            moves.freeze(unit, code)
        else:
            moves.discard(unit, code, what)
