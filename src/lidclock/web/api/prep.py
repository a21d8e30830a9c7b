"""Filling containers by an order, and by what the scale says."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from lidclock.app import filling as app
from lidclock.app import weighing
from lidclock.app.container_facts import listed_facts
from lidclock.app.lists import listed
from lidclock.app.prep import Input
from lidclock.app.session import Session, View
from lidclock.domain.moments import read_iso
from lidclock.web.api import prep_models as models
from lidclock.web.api.bodies import read_as
from lidclock.web.api.parts import PREFIX, body_of, errors
from lidclock.web.pages.parts import Kitchen

router = APIRouter(prefix=PREFIX, tags=["prep"])
_REFUSALS = errors(400, 404, 408, 409, 413, 415, 422)


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
        at=_instant(session, given.at),
        place=given.place,
        placed_at=_instant(session, given.placed_at),
        lot=given.lot,
        inputs=tuple(Input(one.code, one.mass_g) for one in given.inputs),
        recipe=given.recipe,
        anyway=given.anyway,
    )


def _instant(session: Session, text: str | None) -> datetime | None:
    return read_iso(text, session.kitchen.zone) if text else None


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
