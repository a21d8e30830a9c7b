"""The kitchen's calendar, for calendar programs that know its secret."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from lidclock.app.feed import FEED_PATH, feed_of, feed_since, make_feed, revoke_feed
from lidclock.app.instants import local
from lidclock.app.session import Session
from lidclock.web.api import models
from lidclock.web.api.bodies import read_as
from lidclock.web.api.parts import PREFIX, body_of, errors, get
from lidclock.web.pages.parts import Kitchen, address_of

router = APIRouter(tags=["calendar"])
_KIND = "text/calendar"


@router.get(
    "/calendar.ics",
    response_model=None,
    response_class=Response,
    responses={
        200: {
            "content": {_KIND: {"schema": {"type": "string"}}},
            "description": "last days, what thaws, meals (RFC 5545)",
        },
        **errors(404, 422),
    },
)
@router.head("/calendar.ics", include_in_schema=False)
def calendar(session: Kitchen, token: Annotated[str, Query()] = "") -> Response:
    """The calendar as it is now; 404 without the secret that the kitchen gave."""
    headers = {
        "Cache-Control": "private, no-store",
        "Content-Disposition": 'inline; filename="kitchen.ics"',
    }
    return Response(feed_of(session, token), media_type=_KIND, headers=headers)


@get(router, f"{PREFIX}/calendar", models.Feed)
def feed(session: Kitchen) -> JSONResponse:
    """Since when the calendar has an address; the address itself is told once only."""
    return JSONResponse(_facts(session))


@router.post(
    f"{PREFIX}/calendar",
    response_model=None,
    responses={200: {"model": models.Feed}, **errors(400, 408, 413, 415, 422)},
    openapi_extra=body_of(models.FeedWish),
)
async def change_feed(request: Request, session: Kitchen) -> JSONResponse:
    """Make an address for the calendar, which ends the one before, or end it."""
    wish = await read_as(models.FeedWish, request)
    base = address_of(request)
    return JSONResponse(await run_in_threadpool(_changed, session, wish, base))


def _changed(session: Session, wish: models.FeedWish, base: str) -> dict[str, object]:
    if wish.do == "end":
        revoke_feed(session)
        return _facts(session)
    token = make_feed(session)
    address = f"{base}{FEED_PATH}{token}"
    return {**_facts(session), "token": token, "address": address}


def _facts(session: Session) -> dict[str, object]:
    since = local(feed_since(session), session.kitchen.zone)
    return {"since": since, "token": None, "address": None}
