"""How warm places are, and how food cools: read and recorded."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from lidclock.app import cooling_page as cooling
from lidclock.app.cooling_facts import log_json, standing_json
from lidclock.app.device_events import moment_of
from lidclock.app.instants import local
from lidclock.app.session import Session
from lidclock.app.temp_facts import place_facts, reading_facts, typed_facts
from lidclock.app.temp_page import place_now, places_now, readings_of
from lidclock.app.temps import type_reading
from lidclock.domain.advice import without_commands
from lidclock.web.api import temp_models as models
from lidclock.web.api.bodies import read_as
from lidclock.web.api.parts import PREFIX, body_of, errors, get
from lidclock.web.pages.parts import Kitchen

router = APIRouter(prefix=PREFIX, tags=["temperatures"])
Hours = Annotated[int, Query(ge=1, le=744)]
MOST_READINGS = 5_000


@get(router, "/temperatures", models.Temperatures)
def temperatures(session: Kitchen) -> JSONResponse:
    """Every place: its last reading, its limit, how it stands and what is in it."""
    return JSONResponse(
        {
            "now": local(session.now, session.kitchen.zone),
            "places": [place_facts(one, session) for one in places_now(session)],
        }
    )


@get(router, "/readings", models.Readings, 404, 422)
def readings(session: Kitchen, place: str, hours: Hours = 24) -> JSONResponse:
    """What was read in a place, the newest first, at most 5,000."""
    within = timedelta(hours=hours)
    found = readings_of(session, place, within, MOST_READINGS)
    return JSONResponse(
        {
            "now": local(session.now, session.kitchen.zone),
            "place": session.place(place).name,
            "readings": [reading_facts(one, session) for one in found],
        }
    )


@router.post(
    "/readings",
    response_model=None,
    responses={
        200: {"model": models.Recorded},
        **errors(400, 404, 408, 409, 413, 415, 422),
    },
    openapi_extra=body_of(models.NewReading),
)
async def record(request: Request, session: Kitchen) -> JSONResponse:
    """Record what somebody read. The same reading of the same second is one."""
    given = await read_as(models.NewReading, request)
    return JSONResponse(await run_in_threadpool(_record, session, given))


def _record(session: Session, given: models.NewReading) -> dict[str, object]:
    typed = type_reading(
        session, given.place, given.temp_c, at=_at(given.at), anyway=given.anyway
    )
    return typed_facts(typed, place_now(session, typed.place.name), session)


@get(router, "/coolings", models.Coolings)
def coolings(session: Kitchen) -> JSONResponse:
    """Every open cooling log, the most urgent first."""
    return JSONResponse(
        {
            "now": local(session.now, session.kitchen.zone),
            "coolings": [log_json(one, session) for one in cooling.open_logs(session)],
        }
    )


@get(router, "/coolings/{key}", models.Cooling, 404, 409, 422)
def one_cooling(key: str, session: Kitchen) -> JSONResponse:
    """The log of a batch or a container, also one that is closed."""
    return JSONResponse(log_json(cooling.log_of(session, key), session))


@router.post(
    "/coolings",
    response_model=None,
    responses={
        200: {"model": models.Acted},
        **errors(400, 404, 408, 409, 413, 415, 422),
    },
    openapi_extra=body_of(models.CoolingAct),
)
async def act(request: Request, session: Kitchen) -> JSONResponse:
    """Start a log, read, change how it cools, finish. A fact is never refused: where a
    stage was missed the reading is recorded, and the log stays open.
    """
    given = await read_as(models.CoolingAct, request)
    return JSONResponse(await run_in_threadpool(_act, session, given))


def _act(session: Session, given: models.CoolingAct) -> dict[str, object]:
    sent = given.model_dump(exclude={"covered", "at", "once"})
    what = cooling.Act(**sent, is_covered=given.covered, at=_at(given.at))
    done, number = cooling.act(session, what, str(given.once or ""))
    return {
        "act": number,
        "refusal": without_commands(done.refusal) if done.refusal else "",
        "remarks": list(done.remarks),
        "coolings": [standing_json(one, session) for one in done.standings],
    }


def _at(text: str) -> datetime | None:
    return moment_of({"at": text}, "at") if text else None
