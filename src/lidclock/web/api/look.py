"""Looking: the shelf, one container, places and foods."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse

from lidclock.app.container_facts import (
    container_facts,
    food_facts,
    place_facts,
    shelf_facts,
)
from lidclock.web.api import models
from lidclock.web.api.parts import PREFIX, get
from lidclock.web.pages.parts import Kitchen
from lidclock.web.sentences import spoken
from lidclock.web.words import language_of

router = APIRouter(prefix=PREFIX, tags=["look"])


@get(router, "/shelf", models.Shelf)
def shelf(request: Request, session: Kitchen) -> JSONResponse:
    """What is where now, by place; what sits in no place is listed too.

    The words of a lid are in the language that is asked for.
    """
    facts, language = shelf_facts(session), language_of(request)
    for one in facts["containers"]:
        one |= {name: spoken(language, one[name]) for name in ("word", "note")}
    return JSONResponse(facts)


@get(router, "/containers/{code}", models.ContainerWhole, 404, 422)
def container(code: str, session: Kitchen) -> JSONResponse:
    """One container: how it stands and why, its history, what may be done next."""
    return JSONResponse(container_facts(session, code))


@get(router, "/places", list[models.Place])
def places(session: Kitchen) -> JSONResponse:
    """The kitchen's places."""
    return JSONResponse(place_facts(session))


@get(router, "/foods", list[models.Food])
def foods(session: Kitchen) -> JSONResponse:
    """Every food that was described, by name."""
    return JSONResponse(food_facts(session))
