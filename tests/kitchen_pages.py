"""Every page there is, from its own routes: a new one cannot be forgotten."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import closing
from datetime import date, timedelta
from typing import Any

import httpx
from fastapi.routing import APIRoute

from lidclock.app import counting, moves, prep
from lidclock.app.occasions import Told, tell
from lidclock.app.recipe_book import add_recipe
from lidclock.domain.foods import Food
from lidclock.web.app import create_app

# Invented names, one of them long: what a person typed is shown as it was typed.
NAMES = ("stew", "rice pudding", "roasted vegetable and barley soup", "sauce", "stock")
DATA = (
    *(*NAMES, "barley", "oat drink", "club supper"),
    *("Test kitchen", "Fridge", "Freezer", "Counter"),
)
_FIELD = re.compile(r"\{(\w+)(?::\w+)?\}")
# What pages are asked, where there are such pages.
_ASKED = (
    "/shelf?q=stew",
    "/shelf?q=nothing",
    "/prep?food=stew",
    "/report?food=stew",
    "/prep?food=barley",
    "/prep/pack?food=oat+drink",
    "/prep/adopt?food=stew",
    "/labels?code={code}",
    "/guidance?q=rice",
    "/guidance/compare?code={code}",
    "/trace?code={code}",
    "/slip?code={code}",
    "/stock-take?place=Fridge",
    "/recipes/recipe?name=stew&count=4&mass=300",
    "/recipes/write?name=stew",
    "/stock-take/end?place=Freezer",
    "/plan/occasion?name=club+supper&short=9&worth=3&on_hand=4",
    "/plan/occasion?eaters=112&spread=often",
    "/plan/order?lead=2&review=3&item0=barley&use0=10&hand0=28&recipe=stew&once=20"
    "&portion=300",
)
# Invented.
_RECIPE = """
name = "stew"
loss = "5%"
inputs = [
  { name = "barley", mass = "200 g", yield = "95%", allergens = ["barley"] },
  { name = "stock", mass = "800 g", allergens = [] },
]
"""
# Streams and files for other programs are no pages.
_NOT_PAGES = ("/api/", "/static/", "/openapi.json", "/report/weeks.svg")


def furnish(house: Any) -> dict[str, str]:
    """A container in each state; their codes by what the ring must show."""
    codes = {
        "left": house.prep("stew")[0],
        "last-day": house.prep("rice pudding", days_ago=3)[0],
        "spent": house.prep("roasted vegetable and barley soup", days_ago=9)[0],
        "hatched": house.prep("sauce", days_ago=1)[0],
    }
    session = house.session()
    with session.write() as unit:
        moves.freeze(unit, codes["hatched"])
        food = Food("stock", "soup-stew", ())
        taken_in = prep.adopt(unit, food, place=session.place("Fridge"))
        codes["dotted"] = taken_in.codes[0]
    house.now += timedelta(minutes=5)
    _count(session, codes)
    _suppers(session)
    return codes


def _suppers(session: Any) -> None:
    """Two suppers, so that the second has one before it."""
    for day, came in ((3, 40), (10, 44)):
        on = date(2026, 10, day)
        told = Told("club supper", came, on, 42.5, made=43, wasted=1)
        tell(session, told)


def _count(session: Any, codes: dict[str, str]) -> None:
    """A recount under way that has found one of each kind, and a recipe to mix by."""
    count = counting.begin(session, "Freezer")
    counting.hear(session, count.id, [codes["left"], codes["spent"], "4F7K2M0", "?"])
    add_recipe(session, _RECIPE, is_toml=True)


def page_paths(
    house: Any, codes: dict[str, str], questions: Iterable[str] = _ASKED
) -> list[str]:
    """The path of every page, with what it is asked, and of one that is not there."""
    code = codes["left"]
    values = {"code": code, "label": "1", "category": "soup-stew", "name": "pull"}
    app = create_app(house.path, clock=lambda: house.now)
    with closing(app.state.house):
        found = dict.fromkeys(_routes(app.routes))
    # A label's address in capitals leads to the same page as the small one.
    kinds = [path for path in found if not path.startswith("/C/")]
    paths = [_FIELD.sub(lambda field: values[field[1]], path) for path in kinds]
    paths += [path for path in questions if path.partition("?")[0] in paths]
    asked = [path.format(code=code) for path in paths]
    with httpx.Client(base_url=house.address) as client:
        return [*(path for path in asked if _is_page(client, path)), "/nowhere"]


def _is_page(client: httpx.Client, path: str) -> bool:
    """Whether a person reads it: no file for a program, no way on to another page."""
    with client.stream("GET", path) as answer:
        kind = answer.headers.get("content-type", "")
        if answer.is_redirect or not kind.startswith("text/html"):
            return False
        # A page that wants to be asked something says so: it is read like any other.
        assert answer.status_code < 500, f"{path}: {answer.status_code}"
        return True


def _routes(routes: Iterable[Any]) -> Iterator[str]:
    for route in routes:
        if isinstance(route, APIRoute):
            if "GET" in route.methods and not route.path.startswith(_NOT_PAGES):
                yield route.path
        elif hasattr(route, "original_router"):
            yield from _routes(route.original_router.routes)
