"""Looking: the shelf, one container, places and foods."""

from __future__ import annotations

from fastapi import APIRouter
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

router = APIRouter(prefix=PREFIX, tags=["look"])


@get(router, "/shelf", models.Shelf)
def shelf(session: Kitchen) -> JSONResponse:
    """What is where now, by place; what sits in no place is listed too."""
    return JSONResponse(shelf_facts(session))


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
