"""Filling containers by an order, by a recipe, and by what the scale says."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from lidclock.app import filling as app
from lidclock.app import weighing
from lidclock.app.container_facts import listed_facts
from lidclock.app.lists import listed
from lidclock.app.mixing import mix_json
from lidclock.app.prep import Input
from lidclock.app.recipe_book import list_recipes
from lidclock.app.session import Session, View
from lidclock.domain.moments import read_iso
from lidclock.web.api import prep_models as models
from lidclock.web.api.bodies import read_as
from lidclock.web.api.parts import PREFIX, body_of, errors, get
from lidclock.web.pages.parts import Kitchen

router = APIRouter(prefix=PREFIX, tags=["prep"])
_REFUSALS = errors(400, 404, 408, 409, 413, 415, 422)


@get(router, "/recipes", list[models.Recipe])
def recipes(session: Kitchen) -> JSONResponse:
    """The recipes that this kitchen keeps."""
    found = [kept for kept, _ in list_recipes(session)]
    return JSONResponse([{"name": x.name, "version": x.version} for x in found])


@get(router, "/recipes/{name}/mix", models.Mix, 404, 422)
def mix(
    name: str,
    session: Kitchen,
    count: Annotated[str, Query(description="how many containers")] = "1",
    portion: Annotated[str, Query(description="of each, such as 300g")] = "",
    loss: Annotated[str, Query(description="a share such as 2.5%")] = "",
) -> JSONResponse:
    """What to weigh for so many containers of so much each."""
    return JSONResponse(mix_json(session, name, count, portion, loss))


@router.post(
    "/prep",
    response_model=None,
    responses={200: {"model": models.Filled}, **_REFUSALS},
    openapi_extra=body_of(models.Order),
)
async def fill(request: Request, session: Kitchen) -> JSONResponse:
    """Record a batch and its containers, all or nothing."""
    given = await read_as(models.Order, request)
    return JSONResponse(await run_in_threadpool(_fill, session, given))


def _fill(session: Session, given: models.Order) -> dict[str, Any]:
    act = app.fill(session, _filling(session, given))
    return _filled(session, act, app.filled_in(session, act))


def _filling(session: Session, given: models.Order) -> app.Filling:
    new = given.new
    return app.Filling(
        kind=app.BATCH,
        food=given.food,
        once=given.once or app.new_once(),
        new=None
        if new is None
        else app.NewFood(
            new.category,
            ", ".join(new.allergens or ()),
            has_none=new.allergens == [],
            house_days=new.house_days,
        ),
        count=given.count,
        portion_g=given.portion_g,
        total_g=given.total_g,
        at=read_iso(given.at, session.kitchen.zone) if given.at else None,
        place=given.place,
        lot=given.lot,
        inputs=tuple(Input(one.code, one.mass_g) for one in given.inputs),
        recipe=given.recipe,
        anyway=given.anyway,
    )


def _filled(session: Session, act: str, views: Sequence[View]) -> dict[str, Any]:
    with session.read() as unit:
        known = unit.snapshots.those([view.code for view in views])
    return {
        "act": act,
        "containers": [
            listed_facts(listed(session, known[view.code])) for view in views
        ],
        "left_over_g": weighing.left_over(views),
    }


@router.post(
    "/prep/{act}/weighed",
    response_model=None,
    responses={200: {"model": models.Filled}, **_REFUSALS},
    openapi_extra=body_of(models.Scale),
)
async def weigh(act: str, request: Request, session: Kitchen) -> JSONResponse:
    """Correct what a filling's containers hold, by what a scale shows."""
    given = await read_as(models.Scale, request)
    return JSONResponse(await run_in_threadpool(_weigh, session, act, given))


def _weigh(session: Session, act: str, given: models.Scale) -> dict[str, Any]:
    done = weighing.weigh(session, act, total_g=given.total_g, each_g=given.each_g)
    return _filled(session, act, done.views)
