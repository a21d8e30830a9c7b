"""Setting up a kitchen, its places and its foods."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from lidclock.app.now import new_ids
from lidclock.app.session import Session, food_fact
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen, Place
from lidclock.domain.moments import zone_of
from lidclock.errors import InputError, RefusedError, StoreError, UnknownThingError
from lidclock.guidance.load import load_categories
from lidclock.guidance.model import Category
from lidclock.store import Database, Kitchens

# A host's labels begin and end with a letter or digit: RFC 1123, section 2.1.
_LABEL = "[0-9A-Z]([0-9A-Z-]*[0-9A-Z])?"
_BASE = re.compile(
    rf"HTTPS?://{_LABEL}([.]{_LABEL})*(:(?P<port>[0-9]{{1,5}}))?(/[0-9A-Z$%*+./:-]+)?"
)
_PORTS = range(1, 65_536)  # 16 bits, 0 reserved: RFC 6335, section 6
DEFAULT_PLACES = (
    Place("Fridge", "fridge"),
    Place("Freezer", "freezer"),
    Place("Counter", "counter"),
)


def init_kitchen(
    path: Path, kitchen: Kitchen, places: tuple[Place, ...] = DEFAULT_PLACES
) -> Kitchen:
    """Make the database and the kitchen in it; refuses where there is one already."""
    from lidclock.app.guidance import guidance_of

    zone_of(kitchen.zone_name)
    guidance_of(kitchen)
    _check_stock(kitchen.stock)
    _check_twins(places)
    kitchen = replace(kitchen, symbol_base=checked_base(kitchen.symbol_base))
    make_folder(path.parent)
    with Database.open(path, create=True) as database, database.begin() as connection:
        kitchens = Kitchens(connection)
        if kitchens.all():
            raise RefusedError(
                f"{path} already holds the kitchen {kitchens.get().name!r}; "
                "set LIDCLOCK_DB to another file to start a second one"
            )
        made = replace(kitchen, id=kitchen.id or new_ids(1)[0])
        kitchens.add(made, places)
    return made


def make_folder(folder: Path) -> None:
    """Make the folder that the database goes into; StoreError if that fails."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"cannot make {folder}: {error.strerror}") from error


def checked_base(base: str) -> str:
    """The address before `/C/CODE` in a QR: in capitals, so that the symbol is small.

    Only what a QR holds in its alphanumeric mode (ISO/IEC 18004, table 5) is taken.
    """
    capitals = base.strip().rstrip("/").upper()
    found = _BASE.fullmatch(capitals)
    # Some letters have other ones as capitals, and would become another address.
    if not base.isascii() or not found or int(found["port"] or 80) not in _PORTS:
        raise InputError(
            f"{base!r} cannot go before the codes; write it like HTTP://LIDCLOCK.LOCAL "
            "or HTTP://192.0.2.7:8000: no blanks, no ?, = or _"
        )
    return capitals


def _check_stock(name: str) -> None:
    from lidclock.labels.stock import load_stock

    load_stock(name)


def _check_twins(places: tuple[Place, ...]) -> None:
    names = [place.name.casefold() for place in places]
    for name in names:
        if names.count(name) > 1:
            raise InputError(f"two places are called {name!r}; give each its own name")


def add_place(session: Session, place: Place) -> Place:
    """Add a place to the kitchen; its name must be new."""
    if any(known.name.casefold() == place.name.casefold() for known in session.places):
        raise RefusedError(f"there is a place {place.name!r} already")
    with session.write() as unit:
        Kitchens(unit.connection).add_place(session.kitchen.id, place)
    session.places.append(place)
    return place


def add_food(session: Session, food: Food) -> Food:
    """Add a food, or change what is recorded about it; the old fact stays."""
    check_category(food.category)
    with session.write() as unit:
        unit.record([food_fact(food)])
    return food


def check_category(category: str) -> None:
    """UnknownThingError unless guidance knows the category; the nearest are named."""
    import difflib

    known = load_categories()
    if category in known:
        return
    close = difflib.get_close_matches(category, known, n=3, cutoff=0.4)
    raise UnknownThingError(
        f"no food category {category!r}; "
        + (f"nearest: {', '.join(close)}" if close else f"known: {', '.join(known)}")
    )


def known_food(session: Session, name: str) -> Food | None:
    """The food called `name`, if there is one."""
    with session.read() as unit:
        return unit.known_food(name)


def find_food(session: Session, name: str) -> Food:
    """The food called `name`; UnknownThingError names the nearest."""
    with session.read() as unit:
        return unit.need_food(name)


def list_foods(session: Session) -> list[Food]:
    """Every food of the kitchen, by name."""
    with session.read() as unit:
        return unit.snapshots.foods()


def list_categories() -> list[Category]:
    """Every food category that guidance knows."""
    return list(load_categories().values())
