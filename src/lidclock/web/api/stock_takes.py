"""Recounting a place: begin, scan, and say what became of what was not seen."""

from __future__ import annotations

from datetime import datetime

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from lidclock.app import counting as app
from lidclock.app.counting_json import countable_json, recorded_json, standing_json
from lidclock.app.session import Session
from lidclock.app.stock_take_answers import Answer
from lidclock.domain.moments import read_iso
from lidclock.web.api import count_models as models
from lidclock.web.api.bodies import read_as
from lidclock.web.api.parts import PREFIX, body_of, errors, get
from lidclock.web.pages.parts import Kitchen

router = APIRouter(prefix=PREFIX, tags=["stock-takes"])
_REFUSALS = errors(400, 404, 408, 409, 413, 415, 422)


@get(router, "/stock-takes", list[models.Countable])
def stock_takes(session: Kitchen) -> JSONResponse:
    """Every place: what it should hold, when it was counted, the count under way."""
    return JSONResponse(countable_json(session, app.countable(session)))


@router.post(
    "/stock-takes",
    response_model=None,
    responses={200: {"model": models.Standing}, **_REFUSALS},
    openapi_extra=body_of(models.Begin),
)
async def begin(request: Request, session: Kitchen) -> JSONResponse:
    """Begin a count of a place, or go on with the one under way."""
    given = await read_as(models.Begin, request)
    return JSONResponse(await run_in_threadpool(_begun, session, given.place))


def _begun(session: Session, place: str) -> dict[str, object]:
    count = app.begin(session, place)
    return standing_json(session, app.standing(session, count.id))


@get(router, "/stock-takes/{count}", models.Standing, 404, 409)
def stock_take(count: str, session: Kitchen) -> JSONResponse:
    """A count under way: what was seen, and what was not."""
    return JSONResponse(standing_json(session, app.standing(session, count)))


@router.post(
    "/stock-takes/{count}/scans",
    response_model=None,
    responses={200: {"model": models.Standing}, **_REFUSALS},
    openapi_extra=body_of(models.Scans),
)
async def scans(count: str, request: Request, session: Kitchen) -> JSONResponse:
    """Take in lids, and answer each."""
    given = await read_as(models.Scans, request)
    return JSONResponse(await run_in_threadpool(_scanned, session, count, given.lines))


def _scanned(session: Session, count: str, lines: list[str]) -> dict[str, object]:
    heard = app.hear(session, count, lines)
    return standing_json(session, app.standing(session, count), heard)


@router.post(
    "/stock-takes/{count}/record",
    response_model=None,
    responses={200: {"model": models.Recorded}, **_REFUSALS},
    openapi_extra=body_of(models.Record),
)
async def record(count: str, request: Request, session: Kitchen) -> JSONResponse:
    """Record that the place was counted, and what became of what was not seen."""
    given = await read_as(models.Record, request)
    return JSONResponse(await run_in_threadpool(_recorded, session, count, given))


def _recorded(session: Session, count: str, given: models.Record) -> dict[str, object]:
    def moment(text: str) -> datetime:
        return read_iso(text, session.kitchen.zone)

    answers = {
        one.code: Answer(
            one.what, one.reason, one.place, moment(one.at) if one.at else None
        )
        for one in given.answers
    }
    since = {code: moment(at) for code, at in given.since.items()}
    done = app.record(session, count, answers, moves=given.moves, since=since)
    return recorded_json(done)


@router.post(
    "/stock-takes/{count}/drop",
    response_model=None,
    responses={200: {"model": models.Dropped}, **_REFUSALS},
    openapi_extra=body_of(models.Nothing),
)
async def drop(count: str, request: Request, session: Kitchen) -> JSONResponse:
    """End a count without recording that the place was counted."""
    await read_as(models.Nothing, request)
    act = await run_in_threadpool(app.drop, session, count)
    return JSONResponse({"act": act})


@router.post(
    "/stock-takes/{count}/undo",
    response_model=None,
    responses={200: {"model": models.Standing}, **_REFUSALS},
    openapi_extra=body_of(models.Nothing),
)
async def undo(count: str, request: Request, session: Kitchen) -> JSONResponse:
    """Take back how a count ended, and all that was recorded with it: it goes on."""
    await read_as(models.Nothing, request)
    return JSONResponse(await run_in_threadpool(_taken_up, session, count))


def _taken_up(session: Session, count: str) -> dict[str, object]:
    app.take_up_again(session, count)
    return standing_json(session, app.standing(session, count))
